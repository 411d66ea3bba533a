package matchtest

import (
	"math"
	"math/rand/v2"

	"shuntwright/match"
)

// DrawMeter draws a meter with circuits of every kind that a Meter knows, and
// the values of a drawer for it that is small enough for brute force.
func DrawMeter(rng *rand.Rand) (values []float64, p match.Problem) {
	kinds := [][]Circuit{
		{{Kind: Ring, Full: []float64{2e-3, 10e-3}}, {Kind: Shunt, Full: []float64{5e-3}}},
		{{Kind: Ring, Full: []float64{2e-3, 10e-3, 40e-3}}},
		{{Kind: Chain, Full: []float64{1, 5}}, {Kind: Multiplier, Full: []float64{2}}},
		{{Kind: Chain, Full: []float64{1, 3, 10}}},
		{{Kind: Ring, Full: []float64{2e-3, 10e-3}}, {Kind: Chain, Full: []float64{1, 5}}},
		{{Kind: Shunt, Full: []float64{2e-3, 3e-3}}, {Kind: Multiplier, Full: []float64{1}}},
	}
	m := NewMeter(1e-3, 100, kinds[rng.IntN(len(kinds))]...)
	values = make([]float64, 5+rng.IntN(4-len(m.Targets)/4*2))
	for i := range values {
		values[i] = m.Targets[rng.IntN(len(m.Targets))] * math.Exp(1.4*(rng.Float64()-0.5))
		if i > 0 && rng.IntN(4) == 0 {
			values[i] = values[i-1]
		}
	}
	p = match.Problem{Ranges: len(m.Targets), Response: m}
	for _, target := range m.Targets {
		n := Need(target, 1+rng.IntN(2))
		if n.Within = 0.1 + rng.Float64(); rng.IntN(5) == 0 {
			n.Keep, n.KeepBears = target*(0.8+0.6*rng.Float64()), math.Inf(1)
		}
		p.Needs = append(p.Needs, n)
	}
	if rng.IntN(3) == 0 {
		p.Enough = 5 * rng.Float64()
	}
	return values, Resolved(p, rng)
}

// Resolved gives a drawn problem a class and a resolution.
func Resolved(p match.Problem, rng *rand.Rand) match.Problem {
	p.Class, p.Resolution = 1+20*rng.Float64(), []float64{0.05, 1, 4}[rng.IntN(3)]
	p.Resolution = min(p.Resolution, p.Class)
	return p
}
