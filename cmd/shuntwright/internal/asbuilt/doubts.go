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
	d := sourceTable{ranges: len(s.Ranges), at: map[string]int{}}
	for r, by := range SlopesOf(s.Meter, state) {
		for i, p := range s.Positions {
			if slope := by.PerOhm[p.Resistor]; slope != 0 && !s.IsOpen(i) {
				d.add(r, p.Name, Inputs(s.Networks[i], s.Leaves[i], slope))
			}
		}
		d.add(r, "stated", s.statedInputs(by))
		d.add(r, "movement", s.movementInputs(by))
	}
	return slices.DeleteFunc(d.rows, func(row []float64) bool {
		return !slices.ContainsFunc(row, func(half float64) bool { return half != 0 })
	})
}

// sourceTable collects sources by their name, in the order in which they come.
type sourceTable struct {
	ranges int
	at     map[string]int
	rows   [][]float64
}

// add puts what one range depends on into the table. The inputs of one place
// are the same ones, in the same order, for every range.
func (d *sourceTable) add(r int, place string, all []budget.Input) {
	for k, in := range all {
		gain := fmt.Sprintf("gain of %s %d", place, k)
		if in.Shared != "" {
			gain = "gain of instrument " + in.Shared
		}
		d.row(gain)[r] += in.Slope * in.Value * in.GainPercent / 100
		d.row(fmt.Sprintf("floor of %s %d", place, k))[r] += in.Slope * in.Floor
	}
}

// row is the row of a source.
func (d *sourceTable) row(name string) []float64 {
	at, known := d.at[name]
	if !known {
		at = len(d.rows)
		d.at[name], d.rows = at, append(d.rows, make([]float64, d.ranges))
	}
	return d.rows[at]
}
