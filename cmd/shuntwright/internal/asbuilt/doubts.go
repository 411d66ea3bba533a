package asbuilt

import (
	"fmt"
	"slices"

	"shuntwright/meter"
	"shuntwright/meter/budget"
)

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
