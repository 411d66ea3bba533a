package branch

import (
	"slices"

	"shuntwright/match"
)

// order lets one search settle all errors below the worst. Least holds, from
// the worst error down, the smallest found so far, each among plans that keep
// within match.Equal of those before it; the first are known to be minimal. A
// plan comes before the best one if some error is smaller than the least by
// what counts as such and none before it is larger than what counts as equal.
// What is given up for one best plan is given up rightly for a better one,
// unless the two differ by so little that what was not smaller before counts as
// equal now; then close is set, and the search must be repeated. Plans with
// errors equal to those of the best one are met too, as long as they are few:
// where there is none nothing is left to settle, which makes it 1.4 times faster.
type order struct {
	least   []float64
	settled int  // how many are minimal
	close   bool // whether the search must be repeated
	equals  int  // how many plans with equal errors were met since the best one was found
	limits  bool
	floor   float64 // smaller costs count as that
}

// fewEquals is how many plans with equal errors are looked at. Equal parts make
// them without number.
const fewEquals = 8

// newOrder returns the order of plans that keep to g's levels, the first of
// which are settled, when the best plan so far has these costs. Limits says
// whether limits count. Costs below the floor count as that.
func newOrder(g goal, costs []float64, settled int, limits bool, floor float64) *order {
	o := &order{least: slices.Clone(costs), settled: settled, limits: limits, floor: floor}
	for i := range o.least {
		o.least[i] = max(o.least[i], floor)
	}
	for i, level := range g.top {
		o.least[i] = level - match.Equal
	}
	return o
}

// again makes it ready for a search.
func (o *order) again() { o.close, o.equals = false, 0 }

// above returns how many errors stay above the floor.
func (o *order) above() int {
	n, _ := slices.BinarySearchFunc(o.least, o.floor, func(least, floor float64) int {
		if least > floor {
			return -1
		}
		return 1
	})
	return n
}

// tied tells whether the search has met other plans with the errors of the best
// one.
func (o *order) tied() bool { return o.equals > 0 }

// levels returns the levels of all errors, the first as they are given.
func (o *order) levels(settled []float64) []float64 {
	top := slices.Clone(settled)
	for _, least := range o.least[len(settled):] {
		top = append(top, least+match.Equal)
	}
	return top
}

// before returns the first of the costs, from the worst down, that is smaller
// than the least found so far or would be with so much rounding, if none before
// it is too large; their number if all are equal to the least, and -1 if one is
// too large.
func (g *goal) before(costs []float64, rounding float64) int {
	o := g.order
	for i, c := range costs {
		c = max(c, o.floor)
		switch {
		case i >= o.settled && c <= better(o.least[i], o.limits)+rounding:
			return i
		case c > g.top[i]+rounding:
			return -1
		}
	}
	return len(costs)
}

// ahead returns the levels of a goal with an order for plans whose costs, from
// the worst down, are these at least, and false if none of them can come before
// the best one.
func (g goal) ahead(costs []float64) (goal, bool) {
	k := g.before(costs, match.Rounding)
	if k < 0 || k == len(g.top) && g.order.equals >= fewEquals {
		return g, false
	}
	if k < len(g.top) { // either the k-th error is smaller than the least, and so are those behind it, or it is equal
		g.rest = better(g.order.least[k], g.order.limits)
		if k+1 < len(g.top) {
			g.rest = max(g.rest, g.top[k+1])
		}
		g.top = g.top[:k+1]
	}
	return g, true
}

// accept tells whether a plan with these costs and so many parts comes before
// the best one, and makes it that in a goal with an order. Same says that it is
// the best one met again.
func (g *goal) accept(costs []float64, parts int, same bool) bool {
	if parts > g.parts {
		return false
	}
	o, k := g.order, g.before(costs, 0)
	if k == len(costs) && !same {
		o.equals++
	}
	if k < 0 || k == len(costs) {
		return false
	}
	o.equals = 0
	if o.least[k]-max(costs[k], o.floor) < 2*match.Equal {
		o.close = true
	}
	for i := k; i < len(costs); i++ {
		o.least[i] = max(costs[i], o.floor)
	}
	g.top = o.levels(g.top[:o.settled])
	return true
}
