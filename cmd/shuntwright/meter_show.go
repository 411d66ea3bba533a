package main

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

func meterShowCommand() *command {
	return &command{
		name: "meter show", operands: "METER", least: 1, most: 1,
		does: "says how every range is wired and what is fitted, with a small drawing",
		example: `shuntwright meter show bench.json
  the wiring of every range of the meter in bench.json`,
		flags: []string{"drawer", "instruments", "output", "force"},
		run:   runMeterShow,
	}
}

// shownRange is one range in the JSON of meter show.
type shownRange struct {
	Range    string   `json:"range"`
	Circuit  string   `json:"circuit"`
	WithRing string   `json:"with_ring,omitempty"`
	Lead     []string `json:"lead,omitempty"`
	Branch   []string `json:"branch"`
	Across   []string `json:"across,omitempty"`
}

// runMeterShow answers meter show.
func runMeterShow(c *call) (report.Document, error) {
	s, err := c.openSetup(c.args[0], false)
	if err == nil && c.options.output != "" {
		err = c.saveDrawing(s)
	}
	if err != nil {
		return report.Document{}, err
	}
	answer := struct {
		Meter     string             `json:"meter"`
		Positions []predict.Position `json:"positions"`
		Ranges    []shownRange       `json:"ranges"`
		Written   string             `json:"written,omitempty"`
		report.Notes
	}{Meter: s.Meter.Name, Positions: []predict.Position{}, Written: c.options.output}
	table := report.Table{Name: "positions", Columns: []report.Column{
		{Title: "position", Key: "position", Flexible: true},
		{Title: "fitted", Key: "network", Flexible: true},
		{Title: "value", Key: "ohms", Number: true},
	}}
	ohms := s.Ohms()
	for i, p := range s.Positions {
		text, shown := "", report.Cell{Text: "open", Silent: true, Mark: report.Doubtful}
		if !s.IsOpen(i) {
			text = s.Networks[i].String()
			shown = report.Words(text)
		}
		limit := asbuilt.ValueLimit(s.Networks[i], s.Leaves[i]).Limit
		answer.Positions = append(answer.Positions, predict.Position{Position: p.Name, Network: text,
			Parts: s.Networks[i].IDs(), Ohms: report.Some(ohms[i])})
		table.Rows = append(table.Rows, []report.Cell{report.Words(p.Name), shown,
			report.Quantity(ohms[i], quantity.Ohm, report.ByLimit(limit))})
	}
	doc := report.Document{Heading: s.movementWords(), Good: true}
	for r := range s.Ranges {
		answer.Ranges = append(answer.Ranges, s.shownRange(r))
		doc.Closing = append(doc.Closing, s.drawing(r))
	}
	if c.options.output != "" {
		doc.Closing = []string{"written: " + c.options.output + ", the wiring"}
	}
	answer.Cautions, answer.Assumptions, answer.Warnings = asbuilt.Cautions(s.Meter), asbuilt.Switches(s.Meter), s.Warnings
	if len(table.Rows) > 0 {
		doc.Tables = []report.Table{table}
	}
	doc.Notes, doc.Answer = answer.Notes, answer
	return doc, nil
}

// movementWords describe the movement in one line.
func (s *setup) movementWords() string {
	mv := s.Meter.Movement
	words := fmt.Sprintf("%s: movement %s for the last mark, coil %s", s.Meter.Name,
		quantity.Format(mv.FullScaleAmperes, quantity.Ampere, 4), quantity.Format(mv.CoilOhms, quantity.Ohm, report.Target(s.File.Coil)))
	if mv.SwampOhms > 0 {
		words += ", swamping resistor " + quantity.Format(mv.SwampOhms, quantity.Ohm, 4)
	}
	if isNumber(s.Meter.Class) {
		words += fmt.Sprintf(", class %g", s.Meter.Class)
	}
	return words
}

// shownRange lists the resistors of a range by where they sit; swamping and
// contact resistances of zero are wires.
func (s *setup) shownRange(r int) shownRange {
	path, names, state := s.Meter.Path(r), s.Meter.Resistors(), s.Meter.State(s.Ohms())
	pick := func(indexes []int) []string {
		var out []string
		for _, i := range indexes {
			if state.Ohms[i] != 0 || names[i].Use == meter.Fitted {
				out = append(out, names[i].Name)
			}
		}
		return out
	}
	shown := shownRange{Range: s.Ranges[r].Name, Circuit: s.Meter.Circuits[s.Ranges[r].Circuit].Kind(),
		Lead: pick(path.Lead), Branch: pick(path.Branch), Across: pick(path.Across)}
	if tap, feeds := s.Meter.Tap(s.Ranges[r].Circuit); feeds {
		shown.WithRing = s.Ranges[tap].Name
	}
	return shown
}

// drawing shows one range: what carries the whole current, what the movement
// sits in, and what lies across that. A ring that stays across the movement is
// drawn once, at the range whose tap is fed.
func (s *setup) drawing(r int) string {
	shown := s.shownRange(r)
	short := shown.Circuit + " " // a ring or chain has many sections: their ranges name them
	if kind, _ := meter.FindKind(shown.Circuit); !kind.Many {
		short = ""
	}
	lead, branch, across := bracketed(shown.Lead, short), bracketed(shown.Branch, short), bracketed(shown.Across, short)
	head := "  + ──"
	if len(shown.Lead) > 0 {
		head += lead + "──"
	}
	title := fmt.Sprintf("%s (%s%s)\n", shown.Range, shown.Circuit, leadWords(s.Ranges[r]))
	if shown.WithRing != "" {
		return title + head + "( ring as on " + shown.WithRing + " )── -"
	}
	if len(shown.Across) == 0 {
		return title + head + branch + "── -"
	}
	width := max(utf8.RuneCountInString(branch), utf8.RuneCountInString(across))
	gap := strings.Repeat(" ", utf8.RuneCountInString(head))
	return title + head + "┬─" + stretched(branch, width) + "─┬── -\n" +
		gap + "└─" + stretched(across, width) + "─┘"
}

// leadWords say at which voltage the lead of a range sits, if that is known.
func leadWords(r meter.Range) string {
	if math.IsNaN(r.CircuitVolts) {
		return ""
	}
	return ", in a lead at " + quantity.Format(r.CircuitVolts, quantity.Volt, 3)
}

// bracketed joins names, without a prefix, into a line of boxes.
func bracketed(names []string, prefix string) string {
	var boxes []string
	for _, name := range names {
		boxes = append(boxes, "[ "+strings.TrimPrefix(name, prefix)+" ]")
	}
	return strings.Join(boxes, "─")
}

// stretched fills up with wire to so many columns.
func stretched(wire string, width int) string {
	return wire + strings.Repeat("─", width-utf8.RuneCountInString(wire))
}
