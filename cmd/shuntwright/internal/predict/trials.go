package predict

import (
	"context"
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/budget"
)

// trialled is how one range came out in the trials, in JSON.
type trialled struct {
	Range     string       `json:"range"`
	Mean      float64      `json:"mean_percent"`
	Deviation float64      `json:"standard_deviation_percent"`
	Low       float64      `json:"low_percent"`
	High      float64      `json:"high_percent"`
	Chance    report.Maybe `json:"chance_within_class,omitempty"`
	Linear    string       `json:"linear_limit"`
}

// Chances adds to a document and its answer what the trials give that Draws asks
// for, a Monte Carlo calculation. An error is a TrialError, or that of ctx.
func (f *Forecast) Chances(ctx context.Context, doc *report.Document, answer *MeterAnswer) ([]trialled, error) {
	all, table, chance, err := f.trials(ctx)
	if err != nil {
		return nil, err
	}
	answer.ChanceAll = report.Some(chance)
	for _, one := range all {
		for i := range answer.Ranges {
			if answer.Ranges[i].Range == one.Range {
				answer.Ranges[i].ChanceWithinClass = one.Chance
			}
		}
	}
	doc.Tables = append(doc.Tables, table)
	doc.Closing = append(doc.Closing, linearLegend(all)...)
	if !math.IsNaN(chance) {
		doc.BottomLine = append(doc.BottomLine, fmt.Sprintf("chance that all ranges are within the class: %.1f %% (%d trials, seed %d)", 100*chance, f.Draws.Number, f.Draws.Seed))
	}
	return all, nil
}

// trials draws every measured quantity of the meter many times (JCGM 101) and
// tells how its ranges come out: the parts, the coil and the movement.
func (f *Forecast) trials(ctx context.Context) ([]trialled, report.Table, float64, error) {
	table := report.Table{Name: "trials", Heading: "what the trials give", Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "95 % from", Key: "low_percent", Number: true},
		{Title: "to", Key: "high_percent", Number: true},
		{Title: "chance within class", Key: "chance_within_class", Number: true},
		{Title: "linear limit", Key: "linear_limit"},
	}}
	d, err := budget.Run(ctx, f.trialModel(), f.Draws.Number, f.Draws.Seed)
	switch {
	case ctx.Err() != nil:
		return nil, table, math.NaN(), fmt.Errorf("the trials were ended: %w", ctx.Err())
	case err != nil:
		return nil, table, math.NaN(), TrialError{err}
	}
	linear := f.RangeLimits(f.Meter.State(f.Ohms()))
	var all []trialled
	for r, one := range f.Ranges {
		sum := d.Summary(r)
		if math.IsNaN(sum.Mean) {
			continue
		}
		row := trialled{Range: one.Name, Mean: sum.Mean, Deviation: sum.StandardDeviation, Low: sum.Low, High: sum.High, Linear: compared(d.Compare(r, linear[r]), linear[r])}
		chance := report.None()
		if !math.IsNaN(f.Class) {
			share := d.Within(r, f.Class)
			row.Chance, chance = report.Some(share), report.Pair(fmt.Sprintf("%.1f %%", 100*share), report.Exact(share))
		}
		all = append(all, row)
		table.Rows = append(table.Rows, []report.Cell{report.Words(one.Name), report.PercentError(sum.Low, sum.StandardDeviation),
			report.PercentError(sum.High, sum.StandardDeviation), chance, report.Words(row.Linear)})
	}
	if math.IsNaN(f.Class) || len(all) < len(f.Ranges) { // no chance of all where one is open
		return all, table, math.NaN(), nil
	}
	return all, table, d.AllWithin(f.Class), nil
}

// compared says what the comparison of JCGM 101, clause 8 found.
func compared(c budget.Comparison, linear budget.Result) string {
	switch {
	case math.IsNaN(linear.Factor):
		return "nothing is unsure"
	case !c.Settled:
		return moreTrials
	case c.Validated:
		return "agrees"
	}
	return differs
}

// What the trials can say of a linear limit that wants an explanation.
const (
	differs    = "differs"
	moreTrials = "more trials needed"
)

// linearLegend explains what the trials say of the linear limits.
func linearLegend(all []trialled) []string {
	said := map[string]bool{}
	for _, one := range all {
		said[one.Linear] = true
	}
	if !said[differs] && !said[moreTrials] {
		return nil
	}
	legend := "linear limit: agrees where the error less and plus its limit is within half a unit of the second digit of the standard uncertainty of where the trials end (JCGM 101, clause 8)"
	if said[differs] {
		legend += "; where it differs, go by the trials"
	}
	if said[moreTrials] {
		legend += "; " + moreTrials + ": so few do not tell"
	}
	return []string{legend}
}

// trialModel is everything measured of the meter, and how its ranges follow.
func (f *Forecast) trialModel() budget.Model {
	var inputs []budget.Input
	for _, position := range f.Leaves {
		for _, l := range position {
			inputs = append(inputs, budget.Input{Name: l.Name, Value: l.Measured.Ohms,
				GainPercent: l.Measured.GainPercent, Shared: l.Measured.Shared, Floor: l.Measured.FloorOhms})
		}
	}
	for _, one := range f.Stated {
		inputs = append(inputs, one.Input(0))
	}
	mv := f.Meter.Movement
	inputs = append(inputs,
		budget.Input{Name: "coil", Value: f.Coil.Ohms, GainPercent: f.Coil.GainPercent, Shared: f.Coil.Shared, Floor: f.Coil.FloorOhms},
		budget.Input{Name: "full-scale current", Value: mv.FullScaleAmperes, GainPercent: f.FullScalePercent()})
	base := f.Meter.State(f.Ohms())
	coil := asbuilt.CoilOf(f.Meter)
	return budget.Model{Inputs: inputs, Results: len(f.Ranges), Outcome: func(values, dst []float64) {
		drawn := meter.State{FullScaleAmperes: values[len(values)-1], Ohms: slices.Clone(base.Ohms)}
		drawn.Ohms[coil] = values[len(values)-2]
		for i, p := range f.Positions {
			n := len(f.Leaves[i])
			if n > 0 {
				drawn.Ohms[p.Resistor] = f.Networks[i].Resistance(values[:n])
			}
			values = values[n:]
		}
		for i, one := range f.Stated {
			drawn.Ohms[one.Resistor] = values[i]
		}
		f.Meter.Errors(dst, drawn)
	}}
}
