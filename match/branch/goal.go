package branch

import (
	"math"
	"slices"
)

const (
	// margin is how much smaller an error must be to count as found, in
	// percentage points. It is more than match.Rounding, so that plans which
	// repeat the best one with other parts of equal values are given up at
	// once.
	margin = 1e-11
	// floorTrust allows for what rounding does to the floor of a limit.
	floorTrust = 1 - 1e-12
)

// better returns the level of a cost below which one counts as smaller. Where
// limits count, that allows for what is not trusted of floors, so that plans
// which repeat the best one in its worst range are given up at once.
func better(cost float64, limits bool) float64 {
	if !limits {
		return cost - margin
	}
	return floorTrust*floorTrust*cost - margin
}

// goal says what a plan must keep to: levels of errors from the worst down, and
// a number of parts. A range counts for its cost: the magnitude of its error,
// or that plus its limit where limits count, in percent of full scale.
type goal struct {
	top   []float64 // levels of the worst error, the next worst and so on, as far as they are settled; not rising
	rest  float64   // level of every error after those
	parts int       // the most parts in all
	order *order    // if not nil, plans before the best one are looked for, and top holds the levels of all errors
	bar   *Bar      // if not nil, what plans must come before; finding one raises it
}

// anything is the goal that every plan keeps to; it is not changed.
var anything = goal{rest: math.Inf(1), parts: math.MaxInt}

// level is what the error may be that has i larger ones above it.
func (g goal) level(i int) float64 {
	if i < len(g.top) {
		return g.top[i]
	}
	return g.rest
}

// admits tells whether a plan with these costs, the largest first, and so many
// parts keeps to the goal, whatever its order.
func (g goal) admits(costs []float64, parts int) bool {
	for i, c := range costs {
		if !(c <= g.level(i)) {
			return false
		}
	}
	return parts <= g.parts
}

// settled adds one more level.
func (g goal) settled(level float64) goal {
	g.top = append(slices.Clone(g.top), level)
	return g
}

// scenario says which ranges are to be whole. The slots that they depend on
// must be filled; the others may use what parts are left.
type scenario struct {
	must   []bool  // for each slot whether it is filled for sure
	whole  []bool  // for each range
	ranges []int32 // those that are
	open   int     // how many slots stay open
}
