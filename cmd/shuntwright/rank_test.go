package main

import (
	"math"
	"slices"
)

// standing is where a plan stands in the order of plans, by its definition: the
// points of all ranges, the steps of those within the class and of those outside,
// the largest first, and the parts.
type standing []int

// rank is the standing of a plan with these errors in percent; enough counts as
// none.
func rank(errors []float64, class, resolution, enough float64, parts int) standing {
	const guard = 1 + 1e-9
	points := 0
	within, outside := make([]int, len(errors)), make([]int, len(errors))
	for i, e := range errors {
		off := math.Abs(e)
		if off <= enough*guard {
			continue
		}
		steps, far := int(off/resolution*guard), 0
		for most := class; off > most*guard; most *= 2 {
			far++
		}
		if points += far; far > 0 {
			outside[i] = steps
		} else {
			within[i] = steps
		}
	}
	for _, list := range [][]int{within, outside} {
		slices.SortFunc(list, func(a, b int) int { return b - a })
	}
	return slices.Concat(standing{points}, within, outside, standing{parts})
}

// before tells whether a plan comes before another.
func (s standing) before(other standing) bool { return slices.Compare(s, other) < 0 }
