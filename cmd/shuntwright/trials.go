package main

import (
	"fmt"
	"math"
	"sort"

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

// trials draws every measured quantity of the meter many times (JCGM 101) and
// tells how its ranges come out: the parts, the coil and the movement.
func (c *call) trials(s *setup, class float64) ([]trialled, report.Table, float64, error) {
	table := report.Table{Name: "trials", Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "95 % from", Key: "low_percent", Number: true},
		{Title: "to", Key: "high_percent", Number: true},
		{Title: "chance within class", Key: "chance_within_class", Number: true},
		{Title: "linear limit", Key: "linear_limit"},
	}}
	d, err := budget.Run(c.ctx, s.trialModel(), c.options.trials, c.options.seed)
	switch {
	case c.ctx.Err() != nil:
		return nil, table, math.NaN(), fmt.Errorf("the trials were ended: %w", c.ctx.Err())
	case err != nil:
		return nil, table, math.NaN(), misused("--trials %d: %w", c.options.trials, err)
	}
	linear := s.rangeLimits(s.meter.State(s.ohms()))
	var all []trialled
	for r, one := range s.ranges {
		sum := d.Summary(r)
		if math.IsNaN(sum.Mean) {
			continue
		}
		row := trialled{Range: one.Name, Mean: sum.Mean, Deviation: sum.StandardDeviation, Low: sum.Low, High: sum.High, Linear: compared(d.Compare(r, linear[r]), linear[r])}
		chance := report.None()
		if isNumber(class) {
			share := d.Within(r, class)
			row.Chance, chance = report.Some(share), report.Pair(fmt.Sprintf("%.1f %%", 100*share), report.Exact(share))
		}
		all = append(all, row)
		table.Rows = append(table.Rows, []report.Cell{report.Words(one.Name), report.PercentError(sum.Low, sum.StandardDeviation),
			report.PercentError(sum.High, sum.StandardDeviation), chance, report.Words(row.Linear)})
	}
	if math.IsNaN(class) || len(all) < len(s.ranges) { // no chance of all where one is open
		return all, table, math.NaN(), nil
	}
	return all, table, d.AllWithin(class), nil
}

// compared says what the comparison of JCGM 101, clause 8 found.
func compared(c budget.Comparison, linear budget.Result) string {
	switch {
	case math.IsNaN(linear.Factor):
		return "nothing is unsure"
	case !c.Settled:
		return "more trials needed"
	case c.Validated:
		return "agrees"
	}
	return "off"
}

// trialModel is everything measured of the meter, and how its ranges follow.
func (s *setup) trialModel() budget.Model {
	var inputs []budget.Input
	for _, position := range s.leaves {
		for _, l := range position {
			inputs = append(inputs, budget.Input{Name: l.name, Value: l.measured.Ohms,
				GainPercent: l.measured.GainPercent, Shared: l.measured.Shared, Floor: l.measured.FloorOhms})
		}
	}
	mv := s.meter.Movement
	inputs = append(inputs,
		budget.Input{Name: "coil", Value: s.coil.Ohms, GainPercent: s.coil.GainPercent, Shared: s.coil.Shared, Floor: s.coil.FloorOhms},
		budget.Input{Name: "full-scale current", Value: mv.FullScaleAmperes, GainPercent: zeroIfNone(mv.FullScaleLimitPercent)})
	base := s.meter.State(s.ohms())
	coil := coilOf(s.meter)
	return budget.Model{Inputs: inputs, Results: len(s.ranges), Outcome: func(values, dst []float64) {
		drawn := meter.State{FullScaleAmperes: values[len(values)-1], Ohms: append([]float64(nil), base.Ohms...)}
		drawn.Ohms[coil] = values[len(values)-2]
		for i, p := range s.positions {
			n := len(s.leaves[i])
			if n > 0 {
				drawn.Ohms[p.Resistor] = s.networks[i].Resistance(values[:n])
			}
			values = values[n:]
		}
		s.meter.Errors(dst, drawn)
	}}
}

// share is one contributor to the uncertainty of a range, in JSON.
type share struct {
	Range  string  `json:"range"`
	Source string  `json:"source"`
	Share  float64 `json:"share_of_variance"`
	Half   float64 `json:"half_width_percent"`
}

// shares tells who contributes what to the uncertainty of every range, largest
// first, and what is worth measuring again.
func (s *setup) shares(state meter.State) ([]share, report.Table, []string) {
	table := report.Table{Name: "budget", Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "unsure by", Key: "source", Flexible: true},
		{Title: "half-width", Key: "half_width_percent", Number: true},
		{Title: "share of variance", Key: "share_of_variance", Number: true},
	}}
	var all []share
	var again []string
	for r, by := range slopesOf(s.meter, state) {
		inputs := s.rangeInputs(by)
		sources := budget.Sources(inputs)
		result := budget.Combine(sources)
		sort.SliceStable(sources, func(a, b int) bool { return sources[a].Half > sources[b].Half })
		for _, source := range sources {
			name := sourceName(source, inputs)
			one := share{s.ranges[r].Name, name, result.Share(source), source.Half}
			all = append(all, one)
			if one.Share >= 0.01 {
				table.Rows = append(table.Rows, []report.Cell{report.Words(one.Range), report.Words(name),
					report.PercentLimit(source.Half), report.Pair(fmt.Sprintf("%.0f %%", 100*one.Share), report.Exact(one.Share))})
			}
		}
		if len(sources) > 0 {
			again = append(again, worthMeasuring(s.ranges[r].Name, all[len(all)-len(sources)], sources, result))
		}
	}
	return all, table, again
}

// sourceName tells an instrument's gain, which many readings share, from what
// is a quantity's own.
func sourceName(source budget.Source, inputs []budget.Input) string {
	for _, in := range inputs {
		if source.Gain && in.Shared == source.Name {
			return "gain of " + source.Name
		}
	}
	return source.Name
}

// worthMeasuring says what to measure again for a range, how well, and what
// that would gain: its half-width brought down to a third of the others.
func worthMeasuring(name string, largest share, sources []budget.Source, result budget.Result) string {
	rest := budget.Combine(sources[1:])
	goal := rest.Standard * math.Sqrt(3) / 3
	if goal == 0 {
		return fmt.Sprintf("%s: all that is unsure is %s", name, largest.Source)
	}
	better := budget.Combine(append([]budget.Source{{Name: largest.Source, Half: min(goal, largest.Half)}}, sources[1:]...))
	return fmt.Sprintf("%s: know the %s %.2g times better, and the limit falls from ±%.2g %% to ±%.2g %%",
		name, largest.Source, max(1, largest.Half/goal), result.Limit, better.Limit)
}
