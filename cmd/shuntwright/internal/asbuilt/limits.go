package asbuilt

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/meter"
	"shuntwright/meter/budget"
	"shuntwright/meter/reading"
	"shuntwright/meter/wiring"
)

// RangeLimits are the 95 % limits of the ranges' full-scale errors, in percent
// of full scale: from the parts of their positions, the coil and the movement.
func (s *Setup) RangeLimits(state meter.State) []budget.Result {
	var out []budget.Result
	for _, slope := range SlopesOf(s.Meter, state) {
		out = append(out, budget.Combine(budget.Sources(s.RangeInputs(slope))))
	}
	return out
}

// RangeInputs is everything measured that one range depends on.
func (s *Setup) RangeInputs(by Slopes) []budget.Input {
	var all []budget.Input
	for i, p := range s.Positions {
		if slope := by.PerOhm[p.Resistor]; slope != 0 && !s.IsOpen(i) {
			all = append(all, named(p.Name, s.Networks[i], Inputs(s.Networks[i], s.Leaves[i], slope))...)
		}
	}
	return append(all, s.statedInputs(by)...)
}

// statedInputs are the resistances that the file states, and the movement, in the
// same order for every range.
func (s *Setup) statedInputs(by Slopes) []budget.Input {
	var all []budget.Input
	for _, one := range s.Stated {
		all = append(all, one.Input(by.PerOhm[one.Resistor]))
	}
	return append(all, Leaf{"coil", s.Coil}.Input(by.PerOhm[CoilOf(s.Meter)]),
		budget.Input{Name: "full-scale current", Value: s.Meter.Movement.FullScaleAmperes, Slope: by.PerAmpere, GainPercent: s.FullScalePercent()})
}

// named gives resistances of the meter's file the name of their position: their
// text alone does not say which of them is meant.
func named(position string, n wiring.Network, inputs []budget.Input) []budget.Input {
	leaves := n.Leaves()
	for k, l := range leaves {
		switch {
		case l.ID == "" && len(leaves) == 1:
			inputs[k].Name = position
		case l.ID == "":
			inputs[k].Name += " in " + position
		}
	}
	return inputs
}

// FullScalePercent is the limit of the movement's full-scale current, in
// percent of it; zero where the file states none.
func (s *Setup) FullScalePercent() float64 { return zeroIfNone(s.Meter.Movement.FullScaleLimitPercent) }

// CoilOf is the index of the coil among the meter's resistors.
func CoilOf(m *meter.Meter) int {
	return slices.IndexFunc(m.Resistors(), func(r meter.Resistor) bool { return r.Use == meter.Coil })
}

// Slopes are the changes of one range's full-scale error, in percent of full
// scale, per ohm of every resistor and per ampere of the movement's full scale.
type Slopes struct {
	PerOhm    []float64
	PerAmpere float64
}

// SlopesOf turns the meter's sensitivities, which are of the reading, into
// slopes of the full-scale error; zero where a range is not whole.
func SlopesOf(m *meter.Meter, state meter.State) []Slopes {
	errors := make([]float64, len(m.Ranges()))
	m.Errors(errors, state)
	out := make([]Slopes, len(errors))
	for r, row := range m.Sensitivities(state) {
		reading := 1 + errors[r]/100
		out[r].PerOhm = make([]float64, len(row))
		if math.IsNaN(reading) {
			continue
		}
		for k, one := range row {
			if !math.IsNaN(one.PerOhm) {
				out[r].PerOhm[k] = one.PerOhm * reading
			}
		}
		out[r].PerAmpere = meter.FullScaleSensitivity * 100 * reading / state.FullScaleAmperes
	}
	return out
}

// Verdict is what the error of a range says against the class, in percent, by the
// decision rule of readings; empty where the class is NaN or the range is not
// whole.
func Verdict(p meter.RangePrediction, limit budget.Result, class float64) string {
	if !p.Whole() {
		return ""
	}
	return reading.Decide(p.ErrorPercent, limit.Limit, class).String()
}

// Doubts tells by how much everything measured that the files state may move
// the ranges: one row for every independent source, one number for every
// range, in percent of full scale with full scale applied. The numbers are
// half-widths of rectangular distributions and carry the sign in which the
// source moves the range, because one source moves all its ranges at once: a
// gain error that many parts share, a part of a ring, the coil.
//
// budget.Sources does the same for one range, where the sign says nothing.
func (s *Setup) Doubts(state meter.State) [][]float64 {
	at := map[string]int{}
	var rows [][]float64
	move := func(r int, source string, half float64) {
		i, known := at[source]
		if !known {
			i = len(rows)
			at[source], rows = i, append(rows, make([]float64, len(s.Ranges)))
		}
		rows[i][r] += half
	}
	// The inputs of one place are the same ones, in the same order, for every range.
	add := func(r int, place string, all []budget.Input) {
		for k, in := range all {
			gain := fmt.Sprintf("gain of %s %d", place, k)
			if in.Shared != "" {
				gain = "gain of instrument " + in.Shared
			}
			move(r, gain, in.Slope*in.Value*in.GainPercent/100)
			move(r, fmt.Sprintf("floor of %s %d", place, k), in.Slope*in.Floor)
		}
	}
	for r, by := range SlopesOf(s.Meter, state) {
		for i, p := range s.Positions {
			if slope := by.PerOhm[p.Resistor]; slope != 0 && !s.IsOpen(i) {
				add(r, p.Name, Inputs(s.Networks[i], s.Leaves[i], slope))
			}
		}
		add(r, "stated", s.statedInputs(by))
	}
	return slices.DeleteFunc(rows, func(row []float64) bool {
		return !slices.ContainsFunc(row, func(half float64) bool { return half != 0 })
	})
}
