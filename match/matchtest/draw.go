package matchtest

import (
	"math"
	"math/rand/v2"
	"os"

	"shuntwright/match"
)

// Linear is an invented response: the error of each range is the weighted sum
// of the slots' relative distances from their targets, in percent, plus a
// constant. Weights only of its own slot make separate positions.
type Linear struct {
	Targets []float64
	Weights [][]float64 // of each range, for each slot
	Offset  []float64   // of each range, percent
}

// Errors implements Response.
func (l *Linear) Errors(dst, ohms []float64) {
	for r, w := range l.Weights {
		sum := l.Offset[r]
		for s, x := range w {
			if x != 0 {
				sum += float64(100 * x * (ohms[s]/l.Targets[s] - 1))
			}
		}
		dst[r] = sum
	}
}

// Rising implements Response.
func (l *Linear) Rising(r, s int) int {
	switch w := l.Weights[r][s]; {
	case w > 0:
		return 1
	case w < 0:
		return -1
	}
	return 0
}

// Separate is a problem of slots with a range each.
func Separate(targets []float64, atMost int, within float64) match.Problem {
	l := &Linear{Targets: targets, Offset: make([]float64, len(targets))}
	p := match.Problem{Ranges: len(targets), Response: l}
	for i, target := range targets {
		n := Need(target, atMost)
		n.Within = within
		p.Needs = append(p.Needs, n)
		l.Weights = append(l.Weights, make([]float64, len(targets)))
		l.Weights[i][i] = 1
	}
	return p
}

// Draw draws a problem with a Linear response and the values of a drawer for it that
// is small enough for brute force, with ties, kept values, ranges that no slot moves
// and plans that are good enough among what comes.
func Draw(rng *rand.Rand, separate bool) (values []float64, p match.Problem) {
	slots := 1 + rng.IntN(3)
	values = make([]float64, 2+rng.IntN([]int{0, 7, 6, 3}[slots]))
	for i := range values {
		values[i] = []float64{10, 12, 15, 22, 33, 47, 68, 100}[rng.IntN(8)]
		if rng.IntN(2) == 0 {
			values[i] *= 0.9 + 0.2*rng.Float64()
		}
	}
	l := &Linear{}
	p = match.Problem{Ranges: slots, Response: l}
	for s := range slots {
		n := Need(values[rng.IntN(len(values))]*(0.4+1.4*rng.Float64()), 1+rng.IntN(2))
		if slots < 3 && len(values) < 6 {
			n.AtMost += rng.IntN(2)
		}
		n.Within = 0.05 + rng.Float64()
		if n.AtMost == 1 && rng.IntN(4) == 0 {
			n.Keep, n.KeepBears = 20, math.Inf(1)
		}
		p.Needs = append(p.Needs, n)
		l.Targets = append(l.Targets, n.Target)
		l.Weights = append(l.Weights, make([]float64, slots))
		l.Weights[s][s] = []float64{1, -1, 0.7}[rng.IntN(3)]
		l.Offset = append(l.Offset, 0)
	}
	if rng.IntN(3) == 0 { // a range that no slot moves
		p.Ranges++
		l.Weights = append(l.Weights, make([]float64, slots))
		l.Offset = append(l.Offset, 30*rng.Float64())
	}
	if !separate && slots > 1 {
		l.Weights[rng.IntN(slots)][rng.IntN(slots)] = rng.Float64() - 0.5
	}
	if rng.IntN(2) == 0 {
		p.Enough = 20 * rng.Float64()
	}
	return values, p
}

// Values spreads so many values over the four decades from 10.
func Values(n int, seed uint64) []float64 {
	rng := rand.New(rand.NewPCG(seed, 8))
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Pow(10, 1+4*rng.Float64())
	}
	return out
}

// Spread puts so many targets evenly over the decades of Values.
func Spread(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Pow(10, 1.5+2.5*float64(i)/float64(n))
	}
	return out
}

// Seeds is from how many seeds a random test draws: as many as said where
// SHUNTWRIGHT_SLOW is set, else a third.
func Seeds(most uint64) uint64 {
	if os.Getenv("SHUNTWRIGHT_SLOW") != "" {
		return most
	}
	return (most + 2) / 3
}
