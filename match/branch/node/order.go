package node

import (
	"slices"

	"shuntwright/match"
)

// Order lets one search settle all errors below the worst. Least holds, from
// the worst error down, the smallest found so far, each among plans that keep
// within match.Equal of those before it; the first are known to be minimal. A
// plan comes before the best one if some error is smaller than the least by
// what counts as such and none before it is larger than what counts as equal.
// What is given up for one best plan is given up rightly for a better one,
// unless the two differ by so little that what was not smaller before counts as
// equal now; then Close is set, and the search must be repeated. Plans with
// errors equal to those of the best one are met too, as long as they are few:
// where there is none nothing is left to settle.
type Order struct {
	least   []float64
	settled int  // how many are minimal
	Close   bool // whether the search must be repeated
	equals  int  // how many plans with equal errors were met since the best one was found
	limits  bool
	floor   float64 // smaller costs count as that
}

// fewEquals is how many plans with equal errors are looked at. Equal parts make
// them without number.
const fewEquals = 8

// NewOrder returns the order of plans that keep to g's levels, the first of
// which are settled, when the best plan so far has these costs. Limits says
// whether limits count. Costs below the floor count as that.
func NewOrder(g Goal, costs []float64, settled int, limits bool, floor float64) *Order {
	o := &Order{least: slices.Clone(costs), settled: settled, limits: limits, floor: floor}
	for i := range o.least {
		o.least[i] = max(o.least[i], floor)
	}
	for i, level := range g.Top {
		o.least[i] = level - match.Equal
	}
	return o
}

// Again makes it ready for a search.
func (o *Order) Again() { o.Close, o.equals = false, 0 }

// Above returns how many errors stay above the floor.
func (o *Order) Above() int {
	n, _ := slices.BinarySearchFunc(o.least, o.floor, func(least, floor float64) int {
		if least > floor {
			return -1
		}
		return 1
	})
	return n
}

// Tied tells whether the search has met other plans with the errors of the best
// one.
func (o *Order) Tied() bool { return o.equals > 0 }

// Levels returns the levels of all errors, the first as they are given.
func (o *Order) Levels(settled []float64) []float64 {
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
func (g *Goal) before(costs []float64, rounding float64) int {
	o := g.Order
	for i, c := range costs {
		c = max(c, o.floor)
		switch {
		case i >= o.settled && c <= better(o.least[i], o.limits)+rounding:
			return i
		case c > g.Top[i]+rounding:
			return -1
		}
	}
	return len(costs)
}

// Ahead returns the levels of a goal with an order for plans whose costs, from
// the worst down, are these at least, and false if none of them can come before
// the best one.
func (g Goal) Ahead(costs []float64) (Goal, bool) {
	k := g.before(costs, match.Rounding)
	if k < 0 || k == len(g.Top) && g.Order.equals >= fewEquals {
		return g, false
	}
	if k < len(g.Top) { // either the k-th error is smaller than the least, and so are those behind it, or it is equal
		g.Rest = better(g.Order.least[k], g.Order.limits)
		if k+1 < len(g.Top) {
			g.Rest = max(g.Rest, g.Top[k+1])
		}
		g.Top = g.Top[:k+1]
	}
	return g, true
}

// Accept tells whether a plan with these costs and so many parts comes before
// the best one, and makes it that in a goal with an order. Same says that it is
// the best one met again.
func (g *Goal) Accept(costs []float64, parts int, same bool) bool {
	if parts > g.Parts {
		return false
	}
	o, k := g.Order, g.before(costs, 0)
	if k == len(costs) && !same {
		o.equals++
	}
	if k < 0 || k == len(costs) {
		return false
	}
	o.equals = 0
	if o.least[k]-max(costs[k], o.floor) < 2*match.Equal {
		o.Close = true
	}
	for i := k; i < len(costs); i++ {
		o.least[i] = max(costs[i], o.floor)
	}
	g.Top = o.Levels(g.Top[:o.settled])
	return true
}
