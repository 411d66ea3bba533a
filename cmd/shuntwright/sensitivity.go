package main

import (
	"fmt"
	"math"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
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
func (s *setup) sensitivities(state meter.State) ([]sensitivity, report.Table) {
	table := report.Table{Name: "sensitivity", Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "moves with", Key: "resistor", Flexible: true},
		{Title: "% of reading per %", Key: "percent_of_reading_per_percent", Number: true},
		{Title: "% of reading per ohm", Key: "percent_of_reading_per_ohm", Number: true},
	}}
	var all []sensitivity
	names := s.Meter.Resistors()
	for r, row := range s.Meter.Sensitivities(state) {
		for k, one := range row {
			if one.PerOhm == 0 || math.IsNaN(one.PerOhm) || state.Ohms[k] == 0 {
				continue
			}
			all = append(all, sensitivity{s.Ranges[r].Name, names[k].Name, one.PerPercent, one.PerOhm})
			table.Rows = append(table.Rows, []report.Cell{
				report.Words(s.Ranges[r].Name), report.Words(names[k].Name),
				report.Pair(fmt.Sprintf("%+.3g", one.PerPercent), report.Exact(one.PerPercent)),
				report.Pair(fmt.Sprintf("%+.3g", one.PerOhm), report.Exact(one.PerOhm)),
			})
		}
	}
	return all, table
}

// trimOrder tables in which order to trim the positions of every circuit so
// that no step disturbs a finished range more than it must.
func (s *setup) trimOrder(state meter.State) ([]trim, report.Table) {
	table := report.Table{Name: "trim-order", Columns: []report.Column{
		{Title: "trim", Key: "position", Flexible: true},
		{Title: "while reading", Key: "reading", Flexible: true},
		{Title: "to read higher", Key: "to_read_higher"},
		{Title: "disturbs per %", Key: "disturbs_percent_per_percent", Number: true},
	}}
	var all []trim
	rising := s.Meter.Sensitivities(state)
	for circuit := range s.Meter.Circuits {
		for _, step := range s.Meter.TrimOrder(circuit, state) {
			position := s.Positions[step.Position]
			slope := rising[step.Range][position.Resistor].PerPercent
			if math.IsNaN(slope) {
				continue
			}
			way := "more ohms"
			if slope < 0 {
				way = "fewer ohms"
			}
			all = append(all, trim{position.Name, s.Ranges[step.Range].Name, way, step.Disturbs})
			table.Rows = append(table.Rows, []report.Cell{
				report.Words(position.Name), report.Words(s.Ranges[step.Range].Name), report.Words(way),
				report.Pair(fmt.Sprintf("%.2g %%", step.Disturbs), report.Exact(step.Disturbs)),
			})
		}
	}
	return all, table
}

// loading is what a range does to the circuit under test, in JSON.
type loading struct {
	Range     string  `json:"range"`
	InputOhms float64 `json:"input_ohms"`
	Loading   float64 `json:"loading_percent"`
	Total     float64 `json:"total_error_percent"`
	Limit     float64 `json:"limit_percent"` // of the total; the source is taken as stated
}

// loadings tables what every range does to a circuit under test that would
// show full scale without it.
func (s *setup) loadings(state meter.State, prediction meter.Prediction, source float64) ([]loading, report.Table) {
	table := report.Table{Name: "loading", Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "input", Key: "input_ohms", Number: true},
		{Title: "loads the circuit", Key: "loading_percent", Number: true},
		{Title: "total full-scale error", Key: "total_error_percent", Number: true},
		{Title: "limit", Key: "limit_percent", Number: true},
	}}
	var all []loading
	limits := s.RangeLimits(state)
	for r, one := range s.Ranges {
		if !prediction.Ranges[r].Whole() {
			continue
		}
		loaded := s.Meter.Loading(state, r, one.FullScale, source)
		all = append(all, loading{one.Name, prediction.Ranges[r].InputOhms, loaded.LoadingPercent, loaded.TotalPercent, limits[r].Limit})
		table.Rows = append(table.Rows, []report.Cell{
			report.Words(one.Name), report.Quantity(prediction.Ranges[r].InputOhms, quantity.Ohm, 4),
			report.PercentError(loaded.LoadingPercent, math.NaN()), report.PercentError(loaded.TotalPercent, limits[r].Limit),
			report.PercentLimit(limits[r].Limit),
		})
	}
	return all, table
}
