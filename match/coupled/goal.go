package coupled

import (
	"math"
	"slices"
)

const (
	// slack is what rounding may add to an error at the corner of a box, in percentage points: a box is given up only where its
	// bound is beyond a level by more. Errors are a few sums and one quotient away from the values, about 1e-13 points.
	slack = 5e-12
	// margin is how much smaller an error must be to count as found, in percentage points. It is more than slack, so that plans
	// which repeat the best one with other parts of equal values are given up at once.
	margin = 1e-11
)

// plan is a choice that has been looked at as a whole.
type plan struct {
	chosen []int32 // a candidate a slot, or open
	errors []float64
	limits []float64 // nil where they do not count
	costs  []float64 // magnitudes of the errors of the whole ranges, with their limits, the largest first
	parts  int
}

// goal says what a plan must keep to.
type goal struct {
	top   []float64 // levels of the worst error, the next worst and so on, as far as they are settled; not rising
	rest  float64   // level of every error after those
	parts int       // the most parts in all
	order *order    // if not nil, plans before the best one are looked for, and top holds the levels of all errors
}

var anything = goal{rest: math.Inf(1), parts: math.MaxInt}

// level is what the error may be that has i larger ones above it.
func (g goal) level(i int) float64 {
	if i < len(g.top) {
		return g.top[i]
	}
	return g.rest
}

func (g goal) admits(p *plan) bool {
	for i, c := range p.costs {
		if !(c <= g.level(i)) {
			return false
		}
	}
	return p.parts <= g.parts
}

// settled adds one more level.
func (g goal) settled(level float64) goal {
	g.top = append(slices.Clone(g.top), level)
	return g
}
