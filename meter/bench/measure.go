// Package bench is what is done to a movement by itself: its full-scale current
// and its coil's resistance from measurements that do not harm it, and the two
// resistors that make another movement stand in for it.
package bench

import (
	"fmt"
	"math"

	"shuntwright/meter/quantity"
)

// Figure is a result and how it moves with each quantity that it was computed
// from, per unit of that quantity, in the order that the method which returns
// it says.
type Figure struct {
	Value  float64
	Slopes []float64
}

// Drop is a movement with a known current through it and the voltage across it
// read: no more current flows than the pointer shows.
type Drop struct{ Volts, Amperes float64 }

// CoilOhms is the voltage over the current; slopes by volts, amperes. Both must
// be positive and finite.
func (d Drop) CoilOhms() (Figure, error) {
	if !positive(d.Volts) || !positive(d.Amperes) {
		return Figure{}, fmt.Errorf("a drop of %g V at %g A; both must be more than zero", d.Volts, d.Amperes)
	}
	ohms := d.Volts / d.Amperes
	return Figure{ohms, []float64{1 / d.Amperes, -ohms / d.Amperes}}, nil
}

// FullScaleAmperes is the current at the last mark of a movement that stands at
// read while the current flows, marks and read in any one unit: I·marks/read.
// Slopes by volts, amperes, read, marks. All must be positive and finite, but
// for the volts, which do not count.
func (d Drop) FullScaleAmperes(read, marks float64) (Figure, error) {
	if !positive(d.Amperes) || !positive(read) || !positive(marks) {
		return Figure{}, fmt.Errorf("a reading of %g of %g marks at %g A; all must be more than zero", read, marks, d.Amperes)
	}
	amperes := d.Amperes * marks / read
	return Figure{amperes, []float64{0, marks / read, -amperes / read, d.Amperes / read}}, nil
}

// Half is a movement fed by a stiff voltage through a series resistor, read
// without and with a shunt across it. Where the shunt halves the reading this
// is the method of half deflection; any two readings do. The battery's own
// resistance counts with the series resistor.
type Half struct {
	SeriesOhms, ShuntOhms float64
	Before, After         float64 // what the pointer shows without and with the shunt, in any one unit
}

// CoilOhms is S·R·(a − b)/(S·b − R·(a − b)) for readings a without and b with
// the shunt R: S·R/(S − R) at half, where the textbooks' coil = R is low by R/S
// of it (published: the two school solutions and the sheets in
// testdata/published/movements.csv). Slopes by SeriesOhms, ShuntOhms, Before,
// After. The error says that a quantity is not positive, or that no coil gives
// these readings.
func (h Half) CoilOhms() (Figure, error) {
	s, r, a, b := h.SeriesOhms, h.ShuntOhms, h.Before, h.After
	switch {
	case !positive(s) || !positive(r):
		return Figure{}, fmt.Errorf("series %g ohm, shunt %g ohm; both must be more than zero", s, r)
	case !positive(a) || !(b > 0) || !(b < a):
		return Figure{}, fmt.Errorf("%g without the shunt and %g with it; the second must be less than the first, and more than zero", a, b)
	}
	taken := a - b
	rest := s*b - r*taken
	if !(rest > 1e-9*s*b) {
		return Figure{}, fmt.Errorf("a shunt of %s with %s in series; one that takes the reading from %g to %g must be less than %s: else no coil is left", inOhms(r), inOhms(s), a, b, inOhms(s*b/taken))
	}
	coil := s * r * taken / rest
	square := rest * rest
	return Figure{coil, []float64{
		-r * r * taken * taken / square,
		s * s * taken * b / square,
		s * s * r * b / square,
		-s * s * r * a / square,
	}}, nil
}

// FullScaleAmperes is the current at the last mark, marks in the unit of the
// readings, of a movement fed by a battery of so many volts: V·marks/(a·(S +
// coil)). Slopes by SeriesOhms, ShuntOhms, Before, After, volts, marks.
func (h Half) FullScaleAmperes(volts, marks float64) (Figure, error) {
	coil, err := h.CoilOhms()
	if err == nil && (!positive(volts) || !positive(marks)) {
		err = fmt.Errorf("a battery of %g V, %g marks; both must be more than zero", volts, marks)
	}
	if err != nil {
		return Figure{}, err
	}
	all := h.SeriesOhms + coil.Value
	amperes := volts * marks / (h.Before * all)
	out := Figure{amperes, make([]float64, 4, 6)}
	for i, slope := range coil.Slopes {
		out.Slopes[i] = -amperes / all * slope
	}
	out.Slopes[0] -= amperes / all
	out.Slopes[2] -= amperes / h.Before
	out.Slopes = append(out.Slopes, amperes/volts, amperes/marks)
	return out, nil
}

// Compare is a movement fed by one stiff voltage through one series resistor
// and then another, and what the pointer shows each time, in any one unit.
type Compare struct{ SeriesOhms, Reads [2]float64 }

// CoilOhms is (D2·S2 − D1·S1)/(D1 − D2). Slopes by both series resistors, then
// by both readings; those by the readings grow with the series resistors, so
// that little is left of a low coil behind high ones. The error says that a
// quantity is not positive, that the readings are equal, or that no coil gives
// them.
func (c Compare) CoilOhms() (Figure, error) {
	s, d := c.SeriesOhms, c.Reads
	switch {
	case !(s[0] >= 0) || !(s[1] >= 0) || math.IsInf(s[0]+s[1], 1):
		return Figure{}, fmt.Errorf("series %g and %g ohm; neither may be less than zero", s[0], s[1])
	case !positive(d[0]) || !positive(d[1]):
		return Figure{}, fmt.Errorf("readings %g and %g; both must be more than zero", d[0], d[1])
	case d[0] == d[1]:
		return Figure{}, fmt.Errorf("both readings are %g; take two series resistors so unlike that the pointer tells them apart", d[0])
	}
	apart := d[0] - d[1]
	coil := (d[1]*s[1] - d[0]*s[0]) / apart
	if !(coil > 0) {
		return Figure{}, fmt.Errorf("%g behind %s and %g behind %s would make the coil %s; the larger resistor must have the smaller reading, and smaller by less than in proportion", d[0], inOhms(s[0]), d[1], inOhms(s[1]), inOhms(coil))
	}
	return Figure{coil, []float64{-d[0] / apart, d[1] / apart, -(s[0] + coil) / apart, (s[1] + coil) / apart}}, nil
}

// FullScaleAmperes is the current at the last mark, marks in the unit of the
// readings, of a movement fed by a battery of so many volts: V·marks·(D1 −
// D2)/(D1·D2·(S2 − S1)). Slopes as for CoilOhms, then by volts, marks.
func (c Compare) FullScaleAmperes(volts, marks float64) (Figure, error) {
	_, err := c.CoilOhms()
	if err == nil && (!positive(volts) || !positive(marks)) {
		err = fmt.Errorf("a battery of %g V, %g marks; both must be more than zero", volts, marks)
	}
	if err != nil {
		return Figure{}, err
	}
	s, d := c.SeriesOhms, c.Reads
	apart, further := d[0]-d[1], s[1]-s[0]
	amperes := volts * marks * apart / (d[0] * d[1] * further)
	return Figure{amperes, []float64{
		amperes / further, -amperes / further,
		amperes * d[1] / (d[0] * apart), -amperes * d[0] / (d[1] * apart),
		amperes / volts, amperes / marks,
	}}, nil
}

// positive tells a number above zero and finite.
func positive(x float64) bool { return x > 0 && !math.IsInf(x, 1) }

func inOhms(x float64) string    { return quantity.Format(x, quantity.Ohm, 4) }
func inAmperes(x float64) string { return quantity.Format(x, quantity.Ampere, 4) }
func inVolts(x float64) string   { return quantity.Format(x, quantity.Volt, 4) }
