package coupled

import (
	"math"
	"slices"
)

// order lets one search settle all errors below the worst. Least holds, from the worst error down, the smallest found so far, each among plans
// that keep within Equal of those before it; the first are known to be minimal. A plan comes before the best one if some error is smaller
// than the least by what counts as such and none before it is larger than what counts as equal. What is given up for one best plan is given
// up rightly for a better one, unless the two differ by so little that what was not smaller before counts as equal now; then close is
// set, and the search must be repeated. Plans with errors equal to those of the best one are met too, as long as they are few: where there
// is none nothing is left to settle.
type order struct {
	least   []float64
	settled int // how many are minimal
	close   bool
	equals  int // how many plans with equal errors were met since the best one was found
}

// fewEquals is how many plans with equal errors are looked at. Equal parts make them without number.
const fewEquals = 8

// below settles the errors behind the first few, all at once. It returns the goal in which they are settled, whether the best plan is
// the only one that keeps to that, and false if it ended before all was proven.
func (s *solver) below(g goal, settled int) (after goal, alone, complete bool) {
	o := &order{least: slices.Clone(s.best.costs), settled: settled}
	for i, level := range g.top {
		o.least[i] = level - Equal
	}
	for again := true; again; again = o.close {
		o.close, o.equals = false, 0
		for i := range s.cases {
			g.order, g.top = o, o.levels(g.top[:settled])
			s.dfs.first, s.dfs.limit = false, math.MaxInt
			if _, complete := s.dfs.seek(&s.cases[i], g, s.lists); !complete {
				return g, false, false
			}
		}
	}
	g.order, g.top = nil, o.levels(g.top[:settled])
	return g, o.equals == 0, true
}

// levels returns the levels of all errors, the first as they are given.
func (o *order) levels(settled []float64) []float64 {
	top := slices.Clone(settled)
	for _, least := range o.least[len(settled):] {
		top = append(top, least+Equal)
	}
	return top
}

// ahead tells by the bounds of the errors below n what before tells of a plan.
func (d *dfs) ahead(n *node) int {
	costs := d.sorted[:0]
	for _, r := range d.sc.ranges {
		costs = append(costs, n.least[r]+n.floor[r])
	}
	for i := range costs {
		for j := i; j > 0 && costs[j-1] < costs[j]; j-- {
			costs[j-1], costs[j] = costs[j], costs[j-1]
		}
	}
	d.sorted = costs
	return d.before(costs, slack)
}

// before returns the first of the costs, from the worst down, that is smaller than the least found so far or would be with so much rounding,
// if none before it is too large; their number if all are equal to the least, and -1 if one is too large.
func (d *dfs) before(costs []float64, rounding float64) int {
	o := d.goal.order
	for i, c := range costs {
		switch {
		case i >= o.settled && c <= d.better(o.least[i])+rounding:
			return i
		case c > d.goal.top[i]+rounding:
			return -1
		}
	}
	return len(costs)
}

// accept makes a plan the best one, if it comes before that.
func (d *dfs) accept(p *plan) {
	if p.parts > d.goal.parts {
		return
	}
	o, k := d.goal.order, d.before(p.costs, 0)
	if k == len(p.costs) && !slices.Equal(p.chosen, d.best.chosen) {
		o.equals++
	}
	if k < 0 || k == len(p.costs) {
		return
	}
	o.equals = 0
	if o.least[k]-p.costs[k] < 2*Equal {
		o.close = true
	}
	copy(o.least[k:], p.costs[k:])
	d.goal.top = o.levels(d.goal.top[:o.settled])
	d.found = true
	d.improve(p)
}
