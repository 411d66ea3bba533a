package coupled

import (
	"math"
	"slices"
)

// run settles the order stage by stage.
func (s *solver) run() {
	if s.ctx.Err() != nil || !s.fill() {
		return
	}
	s.lists = s.whole()
	if !s.start() {
		return
	}
	g := anything
	if s.p.Enough > 0 {
		good := goal{rest: s.p.Enough, parts: math.MaxInt}
		if good.admits(s.best) || s.any(good) {
			s.proven = true
			g.rest, g.parts = good.rest, s.fewest(good)
			if g.parts < 0 {
				return
			}
		} else if !s.complete {
			return
		} else {
			s.raise(s.p.Enough)
		}
	}
	s.order(g)
}

// whole returns all candidates of every slot.
func (s *solver) whole() [][]int32 {
	lists := make([][]int32, len(s.tables))
	for i := range s.tables {
		lists[i] = s.tables[i].all()
	}
	return lists
}

// order settles the errors from the worst down, then the parts.
func (s *solver) order(g goal) {
	for k := range s.cases[0].ranges {
		if !s.minimise(g, k) {
			return
		}
		s.proven = true
		if k == 0 && g.parts == math.MaxInt {
			s.raise(s.best.costs[0])
		}
		g = g.settled(s.best.costs[k] + Equal)
	}
	s.proven = true
	if len(g.top) > 0 {
		g.rest, g.top = g.top[len(g.top)-1], g.top[:len(g.top)-1]
	}
	if g.parts == math.MaxInt {
		if g.parts = s.fewest(g); g.parts < 0 {
			return
		}
	}
	s.exact = s.firstParts(g)
}

// start finds a first plan.
func (s *solver) start() bool {
	if !s.any(anything) {
		return false
	}
	for len(s.best.costs) > 0 && s.best.costs[0] > 1e-7 && s.ask(goal{rest: s.best.costs[0] / 2, parts: math.MaxInt}, s.lists, 50*len(s.tables)) {
	}
	if !s.complete && !s.ended {
		s.polish()
	}
	return true
}

// ask tells whether there is a plan that keeps to the goal; complete then tells whether a no is proven.
func (s *solver) ask(g goal, lists [][]int32, limit int) bool {
	s.complete = true
	for i := range s.cases {
		s.dfs.first, s.dfs.limit = true, limit
		found, complete := s.dfs.seek(&s.cases[i], g, lists)
		if found {
			return true
		}
		s.complete = s.complete && complete
	}
	return false
}

func (s *solver) any(g goal) bool { return s.ask(g, s.lists, math.MaxInt) }

// minimise makes the k-th error from the worst down as small as the goal allows. It returns false if it ended before that was proven.
func (s *solver) minimise(g goal, k int) bool {
	g.rest = min(g.rest, s.best.costs[k]-margin)
	for i := range s.cases {
		s.dfs.first, s.dfs.limit = false, math.MaxInt
		if _, complete := s.dfs.seek(&s.cases[i], g, s.lists); !complete {
			return false
		}
		g.rest = min(g.rest, s.best.costs[k]-margin)
	}
	return true
}

// fewest returns the smallest number of parts of the plans that keep to the goal, or -1 if it ended before that was proven.
func (s *solver) fewest(g goal) int {
	for g.parts = s.best.parts - 1; ; g.parts = s.best.parts - 1 {
		if s.any(g) {
			continue
		}
		if !s.complete {
			return -1
		}
		return g.parts + 1
	}
}

// firstParts settles slot by slot the candidate that comes first in the drawer's order. It tells whether it came to the end.
func (s *solver) firstParts(g goal) bool {
	lists := slices.Clone(s.lists)
	for i := range lists {
		t := &s.tables[i]
		order := slices.Clone(lists[i])
		slices.SortFunc(order, t.byParts)
		low, high := 0, place(order, s.best.chosen[i])
		for s.dfs.held[i] = true; low < high; {
			mid := (low + high) / 2
			lists[i] = slices.Sorted(slices.Values(order[low : mid+1]))
			if s.ask(g, lists, math.MaxInt) {
				high = place(order, s.best.chosen[i])
			} else if !s.complete {
				return false
			} else {
				low = mid + 1
			}
		}
		s.dfs.held[i] = high < len(order)
		lists[i] = order[high:min(high+1, len(order))]
	}
	return true
}

// place returns where c stands in order; an open slot stands behind the last.
func place(order []int32, c int32) int {
	if i := slices.Index(order, c); i >= 0 {
		return i
	}
	return len(order)
}

// stop tells whether the budget ends the search that is going on.
func (s *solver) stop() bool {
	if s.work < s.p.Budget || s.best == nil {
		return false
	}
	return s.proven || s.best.costs[0]-s.low <= s.p.Gap
}
