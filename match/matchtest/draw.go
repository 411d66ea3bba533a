package matchtest

import (
	"math"
	"math/rand/v2"
	"os"
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

// Slot is what is asked of the network for one slot.
type Slot struct {
	Target, Within float64 // the value wanted, and how far from it as a fraction
	AtMost         int     // parts
	Keep           float64 // a value that stays in place; NaN: none
}

// Case is a drawer and slots to be filled from it.
type Case struct {
	Values   []float64
	Slots    []Slot
	Ranges   int
	Response *Linear
	Enough   float64 // percent
}

// Separate makes a case of slots with a range each.
func Separate(values, targets []float64, atMost int, within float64) Case {
	c := Case{Values: values, Ranges: len(targets), Response: &Linear{Targets: targets}}
	for i, target := range targets {
		c.Slots = append(c.Slots, Slot{Target: target, Within: within, AtMost: atMost, Keep: math.NaN()})
		w := make([]float64, len(targets))
		w[i] = 1
		c.Response.Weights, c.Response.Offset = append(c.Response.Weights, w), append(c.Response.Offset, 0)
	}
	return c
}

// Draw draws a case small enough for brute force, with ties, kept values,
// ranges that no slot moves and plans that are good enough among what comes.
func Draw(rng *rand.Rand, separate bool) Case {
	slots := 1 + rng.IntN(3)
	values := make([]float64, 2+rng.IntN([]int{0, 7, 6, 3}[slots]))
	for i := range values {
		values[i] = []float64{10, 12, 15, 22, 33, 47, 68, 100}[rng.IntN(8)]
		if rng.IntN(2) == 0 {
			values[i] *= 0.9 + 0.2*rng.Float64()
		}
	}
	c := Case{Values: values, Ranges: slots, Response: &Linear{}}
	for s := range slots {
		slot := Slot{Target: values[rng.IntN(len(values))] * (0.4 + 1.4*rng.Float64()), AtMost: 1 + rng.IntN(2), Keep: math.NaN()}
		if slots < 3 && len(values) < 6 {
			slot.AtMost += rng.IntN(2)
		}
		slot.Within = 0.05 + rng.Float64()
		if slot.AtMost == 1 && rng.IntN(4) == 0 {
			slot.Keep = 20
		}
		c.Slots = append(c.Slots, slot)
		c.Response.Targets = append(c.Response.Targets, slot.Target)
		c.Response.Weights = append(c.Response.Weights, make([]float64, slots))
		c.Response.Weights[s][s] = []float64{1, -1, 0.7}[rng.IntN(3)]
		c.Response.Offset = append(c.Response.Offset, 0)
	}
	if rng.IntN(3) == 0 { // a range that no slot moves
		c.Ranges++
		c.Response.Weights = append(c.Response.Weights, make([]float64, slots))
		c.Response.Offset = append(c.Response.Offset, 30*rng.Float64())
	}
	if !separate && slots > 1 {
		c.Response.Weights[rng.IntN(slots)][rng.IntN(slots)] = rng.Float64() - 0.5
	}
	if rng.IntN(2) == 0 {
		c.Enough = 20 * rng.Float64()
	}
	return c
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
