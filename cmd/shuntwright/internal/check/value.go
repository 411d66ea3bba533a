package check

import (
	"math"
	"slices"

	"shuntwright/meter"
)

// flow is the largest current through a position at full scale, NaN where it
// is not known.
func (r *search) flow(p suspect, state meter.State) float64 {
	if p.position < 0 {
		return math.NaN()
	}
	if a := r.Meter.PredictState(state).Positions[p.position].Amperes; a >= 0 && !math.IsInf(a, 0) {
		return a
	}
	return math.NaN()
}

// served are the ranges on which a resistor of the meter, by its index, counts.
func (k *finding) served(resistor int) []int {
	var out []int
	for at := range k.Ranges {
		path := k.Meter.Path(at)
		if slices.Contains(slices.Concat(path.Lead, path.Across, path.Branch), resistor) {
			out = append(out, at)
		}
	}
	return out
}

// bestOhms is the resistance with which the worst of the ranges that depend on
// it is best, all else as it is. Every error rises or falls steadily with a
// resistance, so its magnitude has one valley, and so has the largest of
// several: a golden section finds it.
func (r *search) bestOhms(p suspect, ranges []int, state meter.State) float64 {
	errors := make([]float64, len(r.Ranges))
	worst := func(ln float64) float64 {
		r.Meter.Errors(errors, state.With(p.resistor, math.Exp(ln)))
		most := 0.0
		for _, at := range ranges {
			most = max(most, math.Abs(errors[at])) // NaN stays
		}
		return most
	}
	const golden, reach, steps = 0.6180339887498949, 3, 90 // e³ either way, down to rounding
	lo, hi := math.Log(p.from)-reach, math.Log(p.from)+reach
	a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
	atA, atB := worst(a), worst(b)
	if math.IsNaN(atA) {
		return p.from
	}
	for range steps {
		if atA <= atB {
			hi, b, atB = b, a, atA
			a = hi - golden*(hi-lo)
			atA = worst(a)
		} else {
			lo, a, atA = a, b, atB
			b = lo + golden*(hi-lo)
			atB = worst(b)
		}
	}
	return math.Exp((lo + hi) / 2)
}
