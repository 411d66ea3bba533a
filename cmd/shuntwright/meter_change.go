package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/safefile"
	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/quantity"
)

func meterChangeCommand() *command {
	return &command{
		name: "meter change", operands: "FILE", least: 1, most: 1,
		does: "changes what a meter file says: a figure, a name, a range",
		more: `Takes the flags of meter new for what is to be different; an empty text takes a
figure out. A circuit's flag adds its ranges: those of a ring or chain come into the
one there is. For ranges that are there it sets further fields anew, as in --shunt "50
mA,contact=5mohm". What is fitted stays, in the drawer too, and so do the readings of
earlier visits; where a change would leave a fitted part without a place, it is
refused.`,
		example: `shuntwright meter change bench.json --coil 101.3 --shunt "30 mA" \
  --without "5 mA" --rename "50 mA=grid 50 mA"
  the coil measured anew, a range more, one less, and one by another name`,
		flags: append(append([]string{"name", "full-scale", "full-scale-limit", "coil", "coil-limit", "swamp", "swamp-limit", "divisions", "class/meter", "coil-temperature", "instrument"}, kindNames()...),
			"without", "rename", "drawer", "instruments/file", "wait"),
		run: runMeterChange,
	}
}

// meterChange is a meter on its way to another.
type meterChange struct {
	path    string
	was     *meterfile.File
	stamp   safefile.Stamp
	edit    *meterfile.Editing
	renamed []meterfile.Rename
	said    []string // what is different, in words
	data    []byte
	file    *meterfile.File
}

// runMeterChange answers meter change.
func runMeterChange(c *call) (report.Document, error) {
	path := c.args[0]
	if err := c.hold(path); err != nil {
		return report.Document{}, err
	}
	file, data, stamp, err := c.readMeter(path)
	if err != nil {
		return report.Document{}, err
	}
	m := &meterChange{path: path, was: file, stamp: stamp}
	if m.edit, err = meterfile.Edit(data); err != nil {
		return report.Document{}, err
	}
	for _, step := range []func(*meterChange) error{c.renameRanges, c.takeOutRanges, c.addRanges, c.setFigures} {
		if err := step(m); err != nil {
			return report.Document{}, err
		}
	}
	if len(m.said) == 0 {
		return report.Document{}, misused("say what is to be different: shuntwright meter change %s --coil 101.3 or --shunt \"30 mA\"", report.InShell(path))
	}
	if err := m.finish(); err != nil {
		return report.Document{}, err
	}
	before := namedIn(file) // what stood there already is refused by who needs it
	undescribed, err := c.undescribed(slices.DeleteFunc(namedIn(m.file), func(name string) bool { return slices.Contains(before, name) })...)
	if err != nil {
		return report.Document{}, err
	}
	c.save = func(in *safefile.Change) error { return c.writeNames(in, m) }
	leads, err := c.leadsInStated(m.file, m.was)
	if err != nil {
		return report.Document{}, err
	}
	return m.document(append(undescribed, leads...))
}

// renameRanges gives ranges other names.
func (c *call) renameRanges(m *meterChange) error {
	for _, text := range c.options.renames {
		from, to, found := strings.Cut(text, "=")
		from, to = strings.TrimSpace(from), strings.TrimSpace(to)
		if !found || from == "" || to == "" {
			return misused("--rename %q: write the name and the new one, such as --rename \"30 mA=grid 30 mA\"", text)
		}
		if _, err := meter.ParseRange(to, math.NaN()); err != nil {
			return misused("--rename %q: %w", text, err)
		}
		m.renamed = append(m.renamed, meterfile.Rename{From: from, To: to})
		m.said = append(m.said, fmt.Sprintf("%s is called %s", from, to))
	}
	if err := m.edit.Rename(m.renamed...); err != nil {
		return misused("--rename: %w", err)
	}
	return nil
}

// takeOutRanges takes ranges out.
func (c *call) takeOutRanges(m *meterChange) error {
	for _, name := range c.options.without {
		if err := m.edit.Without(name); err != nil {
			return misused("--without %q: %w", name, err)
		}
		m.said = append(m.said, "without "+name)
	}
	return nil
}

// addRanges adds the ranges of the circuit flags, and sets fields.
func (c *call) addRanges(m *meterChange) error {
	for _, f := range c.options.circuits {
		described, err := describeCircuit(f)
		if err != nil {
			return err
		}
		for _, d := range described {
			if err := m.edit.With(d); err != nil {
				return misused("--%s %q: %w", f.kind, f.text, err)
			}
			m.said = append(m.said, withWords(d))
		}
	}
	return nil
}

// withWords says what comes with a circuit.
func withWords(d meterfile.CircuitDescription) string {
	text := fmt.Sprintf("%s %s", d.Circuit, report.List(d.Ranges))
	for _, g := range d.Given {
		text += fmt.Sprintf(", %s %s", strings.ReplaceAll(g.Field, "_", " "), cmp.Or(g.Text, "left out"))
	}
	return text
}

// setFigures sets what is known of the meter and its movement.
func (c *call) setFigures(m *meterChange) error {
	o := &c.options
	coil := m.was.Coil.Text
	if c.flags.Changed("coil") {
		coil = o.coil
	}
	for _, f := range o.meterFields() {
		if !c.flags.Changed(f.flag) {
			continue
		}
		if f.needed = f.needed || f.field == "name"; f.needed && strings.TrimSpace(*f.to) == "" {
			return misused("--%s cannot be left empty", f.flag)
		}
		if err := f.checked(); err != nil {
			return err
		}
		if f.field == "" {
			fields, err := o.coilLimitInFile(coil)
			if err != nil {
				return err
			}
			m.edit.Set(fields...)
			m.said = append(m.said, "coil limit "+cmp.Or(o.coilLimit, "left out"))
			continue
		}
		was, now := m.edit.Text(f.field), f.inFile()
		m.edit.Set(now)
		m.said = append(m.said, fmt.Sprintf("%s %s (was %s)", strings.ReplaceAll(f.flag, "-", " "), cmp.Or(now.Text, "left out"), cmp.Or(was, "not given")))
	}
	return nil
}

// movedTarget is a position whose target is another, or that is new, in JSON.
type movedTarget struct {
	Position  string       `json:"position"`
	Was       report.Maybe `json:"was_target_ohms,omitempty"`
	Target    report.Maybe `json:"target_ohms"`
	WasFitted string       `json:"fitted,omitempty"`
}

// document says what is different, and which positions must be something else
// now.
func (m *meterChange) document(warnings []string) (report.Document, error) {
	was := map[string]float64{}
	if before, err := m.was.Meter.Targets(); err == nil { // else a range that could not be served was what had to change
		for i := range before {
			was[m.nowCalled(i)] = before[i]
		}
	}
	targets, err := m.file.Meter.Targets()
	if err != nil {
		return report.Document{}, err
	}
	answer := struct {
		Changed   string        `json:"changed"`
		Meter     string        `json:"meter"`
		Different []string      `json:"different"`
		Positions []movedTarget `json:"positions"`
		report.Notes
	}{Changed: m.path, Meter: m.file.Meter.Name, Different: m.said, Positions: []movedTarget{}}
	table := report.Table{Name: "positions", Columns: []report.Column{{Title: "position", Key: "position", Flexible: true},
		{Title: "target was", Key: "was_target_ohms", Number: true}, {Title: "is", Key: "target_ohms", Number: true}, {Title: "fitted", Key: "fitted", Flexible: true}}}
	next := "targets"
	for i, p := range m.file.Meter.Positions() {
		old, known := was[p.Name]
		if m.file.Fitted[i].Present {
			next = "predict"
		}
		if known && err == nil && math.Abs(targets[i]/old-1) < 1e-12 {
			continue
		}
		if !known {
			old = math.NaN()
		}
		answer.Positions = append(answer.Positions, movedTarget{p.Name, report.Some(old), report.Some(targets[i]), m.file.Fitted[i].Text})
		digits := report.Target(m.file.Coil)
		table.Rows = append(table.Rows, []report.Cell{report.Words(p.Name), report.Quantity(old, quantity.Ohm, digits), report.Quantity(targets[i], quantity.Ohm, digits),
			report.Words(m.file.Fitted[i].Text)})
	}
	answer.Cautions, answer.Assumptions, answer.Warnings = asbuilt.Cautions(m.file.Meter), asbuilt.Switches(m.file.Meter), warnings
	doc := report.Document{Heading: m.path + ": " + strings.Join(m.said, "; "), Next: "shuntwright " + next + " " + report.InShell(m.path),
		Notes: answer.Notes, Answer: answer, Good: true}
	if len(table.Rows) > 0 {
		doc.Tables = []report.Table{table}
	}
	return doc, nil
}
