package predict

import (
	"fmt"
	"math"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
)

// sensitivity is how a range moves with one resistance, in JSON.
type sensitivity struct {
	Range      string  `json:"range"`
	Resistor   string  `json:"resistor"`
	PerPercent float64 `json:"percent_of_reading_per_percent"`
	PerOhm     float64 `json:"percent_of_reading_per_ohm"`
}

// trim is one step of the order in which to trim, in JSON.
type trim struct {
	Position string  `json:"position"`
	Reading  string  `json:"reading"`
	Raise    string  `json:"to_read_higher"`
	Disturbs float64 `json:"disturbs_percent_per_percent"`
}

// sensitivities tables how every range moves with every resistance that it
// depends on.
func (f *Forecast) sensitivities(state meter.State) ([]sensitivity, report.Table) {
	table := report.Table{Name: "sensitivity", Heading: "what moves every range", Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "moves with", Key: "resistor", Flexible: true},
		{Title: "% of reading per %", Key: "percent_of_reading_per_percent", Number: true},
		{Title: "% of reading per ohm", Key: "percent_of_reading_per_ohm", Number: true},
	}}
	var all []sensitivity
	names := f.Meter.Resistors()
	for r, row := range f.Meter.Sensitivities(state) {
		for k, one := range row {
			if one.PerOhm == 0 || math.IsNaN(one.PerOhm) || state.Ohms[k] == 0 {
				continue
			}
			all = append(all, sensitivity{f.Ranges[r].Name, names[k].Name, one.PerPercent, one.PerOhm})
			table.Rows = append(table.Rows, []report.Cell{
				report.Words(f.Ranges[r].Name), report.Words(names[k].Name),
				report.Pair(fmt.Sprintf("%+.3g", one.PerPercent), report.Exact(one.PerPercent)),
				report.Pair(fmt.Sprintf("%+.3g", one.PerOhm), report.Exact(one.PerOhm)),
			})
		}
	}
	return all, table
}

// trimOrder tables in which order to trim the positions of every circuit so
// that no step disturbs a finished range more than it must.
func (f *Forecast) trimOrder(state meter.State) ([]trim, report.Table) {
	table := report.Table{Name: "trim-order", Heading: "in which order to trim", Columns: []report.Column{
		{Title: "trim", Key: "position", Flexible: true},
		{Title: "while reading", Key: "reading", Flexible: true},
		{Title: "to read higher", Key: "to_read_higher"},
		{Title: "disturbs per %", Key: "disturbs_percent_per_percent", Number: true},
	}}
	var all []trim
	rising := f.Meter.Sensitivities(state)
	for _, circuit := range f.setUpOrder() {
		for _, step := range f.Meter.TrimOrder(circuit, state) {
			position := f.Positions[step.Position]
			slope := rising[step.Range][position.Resistor].PerPercent
			if math.IsNaN(slope) {
				continue
			}
			way := "more ohms"
			if slope < 0 {
				way = "fewer ohms"
			}
			all = append(all, trim{position.Name, f.Ranges[step.Range].Name, way, step.Disturbs})
			table.Rows = append(table.Rows, []report.Cell{
				report.Words(position.Name), report.Words(f.Ranges[step.Range].Name), report.Words(way),
				report.Pair(fmt.Sprintf("%.2g %%", step.Disturbs), report.Exact(step.Disturbs)),
			})
		}
	}
	return all, table
}

// setUpOrder are the circuits, by their indexes, those behind a ring's tap last:
// the ring has to be right before them.
func (f *Forecast) setUpOrder() []int {
	var first, last []int
	for circuit := range f.Meter.Circuits {
		if _, feeds := f.Meter.Tap(circuit); feeds {
			last = append(last, circuit)
		} else {
			first = append(first, circuit)
		}
	}
	return append(first, last...)
}
