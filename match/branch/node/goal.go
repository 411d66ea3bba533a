package node

import (
	"math"
	"slices"
)

const (
	// Margin is how much smaller an error must be to count as found, in
	// percentage points. It is more than match.Rounding, so that plans which
	// repeat the best one with other parts of equal values are given up at
	// once.
	Margin = 1e-11
	// FloorTrust allows for what rounding does to the floor of a limit.
	FloorTrust = 1 - 1e-12
)

// better returns the level of a cost below which one counts as smaller. Where
// limits count, that allows for what is not trusted of floors, so that plans
// which repeat the best one in its worst range are given up at once.
func better(cost float64, limits bool) float64 {
	if !limits {
		return cost - Margin
	}
	return FloorTrust*FloorTrust*cost - Margin
}

// Goal says what a plan must keep to: levels of errors from the worst down, and
// a number of parts. A range counts for its cost: the magnitude of its error,
// or that plus its limit where limits count, in percent of full scale.
type Goal struct {
	Top   []float64 // levels of the worst error, the next worst and so on, as far as they are settled; not rising
	Rest  float64   // level of every error after those
	Parts int       // the most parts in all
	Order *Order    // if not nil, plans before the best one are looked for, and Top holds the levels of all errors
	Bar   *Bar      // if not nil, what plans must come before; finding one raises it
}

// Anything is the goal that every plan keeps to; it is not changed.
var Anything = Goal{Rest: math.Inf(1), Parts: math.MaxInt}

// Level is what the error may be that has i larger ones above it.
func (g Goal) Level(i int) float64 {
	if i < len(g.Top) {
		return g.Top[i]
	}
	return g.Rest
}

// Admits tells whether a plan with these costs, the largest first, and so many
// parts keeps to the goal, whatever its order.
func (g Goal) Admits(costs []float64, parts int) bool {
	for i, c := range costs {
		if !(c <= g.Level(i)) {
			return false
		}
	}
	return parts <= g.Parts
}

// Settled adds one more level.
func (g Goal) Settled(level float64) Goal {
	g.Top = append(slices.Clone(g.Top), level)
	return g
}

// Scenario says which ranges are to be whole. The slots that they depend on
// must be filled; the others may use what parts are left.
type Scenario struct {
	Must   []bool  // for each slot whether it is filled for sure
	Whole  []bool  // for each range
	Ranges []int32 // those that are
	Open   int     // how many slots stay open
}
