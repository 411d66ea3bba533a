package main

import (
	"shuntwright/meter"
)

// slopes are the changes of one range's full-scale error, in percent of full
// scale, per ohm of every resistor and per ampere of the movement's full scale.
type slopes struct {
	perOhm    []float64
	perAmpere float64
}

// smallStep is the relative step of the difference quotients: the cube root
// of the float64 resolution, which makes their error about 1e-10.
const smallStep = 6e-6

// slopesOf differentiates the closed formulas of every range by central
// differences.
func slopesOf(m *meter.Meter, state meter.State) []slopes {
	ranges, resistors := len(m.Ranges()), len(m.Resistors())
	out := make([]slopes, ranges)
	for r := range out {
		out[r].perOhm = make([]float64, resistors)
	}
	high, low := make([]float64, ranges), make([]float64, ranges)
	quotient := func(value float64, change func(float64) meter.State, put func(r int, slope float64)) {
		step := value * smallStep
		if !(step > 0) {
			return
		}
		m.Errors(high, change(value+step))
		m.Errors(low, change(value-step))
		for r := range out {
			if slope := (high[r] - low[r]) / (2 * step); isNumber(slope) {
				put(r, slope)
			}
		}
	}
	for k := range resistors {
		quotient(state.Ohms[k], func(x float64) meter.State { return state.With(k, x) },
			func(r int, slope float64) { out[r].perOhm[k] = slope })
	}
	quotient(state.FullScaleAmperes, func(x float64) meter.State { state.FullScaleAmperes = x; return state },
		func(r int, slope float64) { out[r].perAmpere = slope })
	return out
}
