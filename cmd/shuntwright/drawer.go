package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

// drawerChange is what an answer about the drawer lists, and what it says of
// that besides.
type drawerChange struct {
	parts   []inventory.Part
	said    []string // below the first line
	closing []string
	notes   report.Notes
}

// drawerDocument lists parts of the drawer.
func drawerDocument(b *asbuilt.Bench, of drawerChange, heading string) (report.Document, error) {
	answer := drawerAnswer{Parts: []partAnswer{}}
	table := report.Table{Name: "parts", Columns: []report.Column{
		{Title: "id", Key: "id"},
		{Title: "ohms", Key: "ohms", Number: true},
		{Title: "less leads", Number: true},
		{Title: "at most", Key: "limit_ohms", Number: true, Spare: true},
		{Title: "nominal", Key: "nominal", Number: true},
		{Title: "drift", Key: "drift_percent", Number: true},
		{Title: "W", Key: "watts", Number: true, Common: "W"},
		{Title: "V", Key: "volts", Number: true, Common: "V"},
		{Title: "by", Key: "instrument", Flexible: true, Brief: 2, Common: "measured with"},
		{Title: "kind", Key: "kind", Flexible: true, Brief: 2, Common: "kind"},
		{Title: "place", Key: "place", Flexible: true, Brief: 2, Common: "place"},
		{Title: "fitted", Key: "fitted", Flexible: true, Brief: 3, Common: "fitted in"},
	}}
	var used []inventory.Measured
	for _, p := range of.parts {
		m, err := b.Instruments.Measure(p)
		if err != nil {
			return report.Document{}, err
		}
		used = append(used, m)
		answer.Parts = append(answer.Parts, jsonPart(b, p, m))
		table.Rows = append(table.Rows, partRow(p, m))
	}
	answer.Assumptions = append(asbuilt.Assumptions(used), of.notes.Assumptions...)
	of.notes.Warnings = append(of.notes.Warnings, leadsShow(b, of.parts, used)...)
	answer.Warnings = append(of.notes.Warnings, asbuilt.Warnings(used)...)
	return report.Document{Heading: heading, BottomLine: of.said, Raised: of.notes.Warnings, Tables: []report.Table{table}, Closing: of.closing, Notes: answer.Notes, Answer: answer, Good: true}, nil
}

func partRow(p inventory.Part, m inventory.Measured) []report.Cell {
	drift := report.Words("")
	if off := (valued{p, m}).drift(); !math.IsNaN(off) {
		drift = report.Pair(fmt.Sprintf("%+.1f %%", off), report.Exact(off))
	}
	place := report.Words(p.Place)
	if p.Fitted != "" { // it lies there no more
		place = report.Pair("", p.Place)
	}
	return []report.Cell{
		report.Words(p.ID),
		report.Pair(asTyped(p), ofResistor(p, report.Exact(m.Ohms))),
		report.Words(lessLeads(p, m)),
		report.Pair(ofResistor(p, "±"+quantity.Format(m.LimitOhms(), quantity.Ohm, 2)), ofResistor(p, report.Exact(m.LimitOhms()))),
		report.Words(p.Nominal.Text), drift,
		rating(p.Watts), rating(p.Volts), report.Words(p.Instrument),
		report.Words(p.Kind), place, report.Words(p.Fitted),
	}
}

// lessLeads is what a part counts as, to the last digit of its reading, where that
// is less by the leads that it was read through and that shows; else empty.
func lessLeads(p inventory.Part, m inventory.Measured) string {
	if !p.Measured() || p.IsSpool() || p.Ohms.Base-m.Ohms < p.Ohms.Step/2 {
		return ""
	}
	digits := 2
	if p.Ohms.Step > 0 {
		digits = max(digits, 1+int(math.Floor(math.Log10(m.Ohms/p.Ohms.Step)+1e-9)))
	}
	return quantity.Format(m.Ohms, quantity.Ohm, digits)
}

// rating is a number as it was written; empty where it is not known.
func rating(x float64) report.Cell {
	if math.IsNaN(x) {
		return report.Words("")
	}
	return report.Words(report.Exact(x))
}

// ofResistor is a text that a spool of wire has no use for: its ohms are of a
// metre.
func ofResistor(p inventory.Part, text string) string {
	if p.IsSpool() {
		return ""
	}
	return text
}

// asTyped is the reading as it stands in the file, or what is marked on a part
// that was never measured.
func asTyped(p inventory.Part) string {
	if p.IsSpool() {
		text := fmt.Sprintf("%s, %s", p.Ohms.Text, quantity.Format(p.Metres, quantity.Metre, 3))
		if !math.IsNaN(p.Amperes) {
			text += ", " + quantity.Format(p.Amperes, quantity.Ampere, 2)
		}
		return text
	}
	if p.Measured() {
		return p.Ohms.Text
	}
	return p.Nominal.Text + " marked"
}

// jsonPart is one part with every column that it has, those of its owner too, each
// by its name; ohms are what it counts as.
func jsonPart(b *asbuilt.Bench, p inventory.Part, m inventory.Measured) partAnswer {
	out := partAnswer{{Name: "id", Value: p.ID}}
	if !p.IsSpool() {
		out = append(out, answerField{Name: "ohms", Value: m.Ohms})
	}
	if p.Measured() {
		out = append(out, answerField{Name: "as_typed", Value: p.Ohms.Text})
	} else {
		out = append(out, answerField{Name: "marked", Value: true})
	}
	if !p.IsSpool() {
		out = append(out, answerField{Name: "limit_ohms", Value: m.LimitOhms()})
	}
	if off := (valued{p, m}).drift(); !math.IsNaN(off) {
		out = append(out, answerField{Name: "drift_percent", Value: off})
	}
	for _, f := range p.Fields() {
		switch {
		case f.Column == "id" || f.Column == "ohms":
		case f.Text != "":
			out = append(out, answerField{Name: f.Column, Value: f.Text})
		default:
			out = append(out, answerField{Name: f.Column, Value: f.Number})
		}
	}
	own := b.Drawer.Own(p.ID)
	for _, name := range slices.Sorted(maps.Keys(own)) {
		if name != "other" && !slices.ContainsFunc(out, func(f answerField) bool { return f.Name == name }) {
			out = append(out, answerField{Name: name, Value: own[name]})
			delete(own, name)
		}
	}
	if len(own) > 0 { // columns that are called like a field that means something else
		out = append(out, answerField{Name: "other", Value: own})
	}
	return out
}

// mostNamed is how many parts are named in a first line.
const mostNamed = 4

// changeDrawer opens the drawer, lets it be changed, has it written and lists
// the parts that the change was about.
func (c *call) changeDrawer(did string, change func(*inventory.Drawer) (drawerChange, error)) (report.Document, error) {
	if err := c.hold(); err != nil {
		return report.Document{}, err
	}
	drawer, err := c.openToAdd()
	if err != nil {
		return report.Document{}, err
	}
	of, err := change(drawer)
	if err != nil {
		return report.Document{}, err
	}
	of.notes.Warnings = append(of.notes.Warnings, c.drawerGone()...)
	b := &asbuilt.Bench{Drawer: drawer}
	if b.Instruments, err = c.readInstruments(); err != nil {
		return report.Document{}, err
	}
	doc, err := drawerDocument(b, of, fmt.Sprintf("%s: %s %d, now %s: %s", drawer.Path(), did, len(of.parts), report.Counted(drawer.Len(), "part"), report.Few(asbuilt.IDs(of.parts), mostNamed)))
	if err != nil {
		return report.Document{}, err
	}
	if slices.ContainsFunc(of.notes.Warnings, func(w string) bool { return strings.HasSuffix(w, undoes) }) {
		doc.Next = "shuntwright undo"
	}
	if _, err := c.measure(drawer); err != nil { // after the parts that changed: they have no place in the file yet
		return report.Document{}, err
	}
	c.save = drawer.Save
	return doc, nil
}

func drawerRemoveCommand() *command {
	return &command{
		name: "drawer remove", operands: "ID…", most: -1,
		does: "takes parts out of the drawer for good",
		more: "Those of the ids, or with --where all that it names, as drawer change does.",
		example: `shuntwright drawer remove R012 R040
  forgets two parts; shuntwright undo brings them back`,
		flags: []string{"where", "drawer", "instruments", "wait"},
		run: func(c *call) (report.Document, error) {
			if _, err := c.readDrawer(); err != nil {
				return report.Document{}, err
			}
			return c.changeDrawer("removed", func(d *inventory.Drawer) (drawerChange, error) {
				meant, err := c.meantParts(d)
				if err != nil {
					return drawerChange{}, err
				}
				removed, err := removeAll(d, asbuilt.IDs(meant))
				return drawerChange{parts: removed}, err
			})
		},
	}
}

// removeAll takes parts out; one that is fitted stays.
func removeAll(d *inventory.Drawer, ids []string) ([]inventory.Part, error) {
	var removed []inventory.Part
	for _, id := range ids {
		p, _, found := d.Find(id)
		switch {
		case !found:
			return nil, noSuchPart(d, id)
		case p.Fitted != "":
			return nil, fmt.Errorf("part %q is fitted in %q; take it out there first with shuntwright unfit", id, p.Fitted)
		}
		if err := d.Remove(id); err != nil {
			return nil, err
		}
		removed = append(removed, p)
	}
	return removed, nil
}

// noSuchPart is the error of an id that the drawer does not have.
func noSuchPart(d *inventory.Drawer, id string) error {
	return fmt.Errorf("there is no part %q in %s%s; shuntwright drawer list shows what there is", id, d.Path(), report.Meant(id, asbuilt.IDs(d.Parts())))
}

// drawerAnswer is the JSON of the drawer commands.
type drawerAnswer struct {
	Parts []partAnswer `json:"parts"`
	report.Notes
}

// partAnswer is one part of the drawer in JSON: what there is to say of it, in order.
type partAnswer []answerField

// answerField is a name and what stands behind it: a text, a number that JSON can
// hold, or whatever else it can.
type answerField struct {
	Name  string
	Value any
}

// MarshalJSON writes the fields as one object.
func (p partAnswer) MarshalJSON() ([]byte, error) {
	out := bytes.NewBufferString("{")
	encoder := json.NewEncoder(out)
	encoder.SetEscapeHTML(false)
	for i, f := range p {
		if i > 0 {
			out.WriteByte(',')
		}
		if err := encoder.Encode(f.Name); err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		out.WriteByte(':')
		if err := encoder.Encode(f.Value); err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}
