package coupled

import (
	"math"
	"slices"
)

// run settles the order stage by stage.
func (s *solver) run() {
	if !s.fill() {
		return
	}
	s.prepare()
	if !s.start() {
		return
	}
	g := anything
	if s.p.Enough > 0 {
		g.rest = s.p.Enough
		switch enough := g.admits(s.best) || s.any(g); {
		case enough:
			s.proven, s.good = true, true
			s.cut(g)
			if g.parts = s.fewest(g); g.parts < 0 {
				return
			}
		case !s.complete:
			return
		default:
			g = anything
			s.raise(s.p.Enough)
		}
	}
	s.settleAll(g)
}

// prepare lists the candidates that count: for a slot that no scenario needs only those whose parts hold those of no other.
func (s *solver) prepare() {
	s.lists = make([][]int32, len(s.tables))
	for i := range s.tables {
		if slices.ContainsFunc(s.cases, func(sc scenario) bool { return sc.must[i] }) {
			s.lists[i] = s.tables[i].All()
		} else {
			s.lists[i] = s.minimal[i]
		}
	}
}

// settleAll settles the errors from the worst down, then the parts.
func (s *solver) settleAll(g goal) {
	if len(s.cases[0].ranges) > 0 {
		if !s.worst(g) {
			return
		}
		s.proven = true
		g = g.settled(s.best.costs[0] + Equal)
		s.cut(g)
		var alone, complete bool
		if g, alone, complete = s.below(g, 1); !complete {
			return
		}
		if alone {
			s.exact = true
			return
		}
		s.cut(g)
	}
	s.proven = true
	if last := len(g.top) - 1; last >= 0 {
		g.rest, g.top = g.top[last], g.top[:last]
	}
	if g.parts == math.MaxInt {
		if g.parts = s.fewest(g); g.parts < 0 {
			return
		}
	}
	s.exact = s.firstParts(g)
}

// start finds a first plan and betters it while that is easy.
func (s *solver) start() bool {
	if s.packing != nil { // the greedy plan does not fill enough
		chosen := s.packing.find(s.ctx, s.cases[0].must)
		if chosen == nil {
			return false
		}
		p := s.measure(chosen, &s.cases[0])
		if p == nil {
			return false
		}
		s.best = p
	}
	s.report()
	s.complete = true
	s.base = s.ground()
	for len(s.best.costs) > 0 && s.best.costs[0]-s.base > 4*margin {
		half := s.base + (s.best.costs[0]-s.base)/2
		if !s.ask(goal{rest: half, parts: math.MaxInt}, s.lists, 50*len(s.tables)) {
			if s.complete {
				s.raise(half)
			}
			break
		}
	}
	if !s.complete && !s.ended {
		s.polish()
	}
	if len(s.best.costs) > 0 {
		s.cut(goal{rest: max(s.best.costs[0]+Equal, s.p.Enough), parts: math.MaxInt})
	}
	return true
}

// cut forgets the candidates that no plan with this goal, or a tighter one, can have, by what follows at the root of its search.
func (s *solver) cut(g goal) {
	if len(s.cases) > 1 || s.ended {
		return
	}
	s.dfs.goal, s.dfs.sc, s.dfs.lists = g, &s.cases[0], s.lists
	if !s.dfs.root() {
		return
	}
	for i, list := range s.dfs.at(0).live {
		s.lists[i] = slices.Clone(list)
	}
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

// worst makes the worst error as small as the goal allows. Levels far below the best plan are soon refuted and give a bound, so it
// goes up from there, doubling what is above the ground, until a plan is found. It returns false if it ended before all was proven.
func (s *solver) worst(g goal) bool {
	if s.good {
		return s.minimise(g, 0)
	}
	for {
		ground := max(s.low, s.base)
		level := ground + max((s.best.costs[0]-ground)/16, (ground-s.base)*0.25)
		goal, before := g, s.best
		goal.rest = level
		if !s.minimise(goal, 0) {
			return false
		}
		if s.best != before || level >= s.better(s.best.costs[0]) {
			s.raise(s.best.costs[0])
			return true
		}
		s.raise(level)
	}
}

// minimise makes the k-th error from the worst down as small as the goal allows. It returns false if it ended before that was proven.
func (s *solver) minimise(g goal, k int) bool {
	for i := range s.cases {
		g.rest = min(g.rest, s.better(s.best.costs[k]))
		s.dfs.first, s.dfs.limit = false, math.MaxInt
		if _, complete := s.dfs.seek(&s.cases[i], g, s.lists); !complete {
			return false
		}
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
		slices.SortFunc(order, t.ByParts)
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
	return s.proven || len(s.best.costs) > 0 && s.best.costs[0]-s.low <= s.p.Gap
}
