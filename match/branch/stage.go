package branch

import (
	"math"
	"slices"

	"shuntwright/match"
)

// run settles the order stage by stage.
func (s *solver) run() {
	if !s.fill() {
		return
	}
	s.prepare()
	if s.p.Bar != nil {
		s.runBar()
		return
	}
	if !s.start() {
		return
	}
	g := anything
	if s.p.Enough > 0 {
		g.rest = s.enough()
		switch enough := g.admits(s.best.costs, s.best.parts) || s.any(g); {
		case enough:
			s.proven, s.good = true, true
			s.cut(g)
			if g.parts = s.fewest(g); g.parts < 0 {
				return
			}
		case !s.complete:
			return
		default:
			s.raise(s.p.Enough)
			s.settleAbove()
			return
		}
	}
	s.settleAll(g, 0)
}

// runBar looks for the first of the plans that come before the bar.
func (s *solver) runBar() {
	s.exact = true
	for i := range s.cases {
		g := anything
		g.bar = s.p.Bar
		found, complete := s.search.seek(question{scenario: &s.cases[i], goal: g, lists: s.lists, limit: math.MaxInt})
		s.found, s.exact = s.found || found, s.exact && complete
	}
}

// prepare lists the candidates that count: for a slot that no scenario needs
// only those whose parts hold those of no other.
func (s *solver) prepare() {
	s.lists = make([][]int32, len(s.tables))
	for i := range s.tables {
		if slices.ContainsFunc(s.cases, func(sc scenario) bool { return sc.must[i] }) {
			s.lists[i] = s.tables[i].all()
		} else {
			s.lists[i] = s.minimal[i]
		}
	}
}

// settleAbove settles the errors that are not good enough, then the number of
// parts, then all else.
func (s *solver) settleAbove() {
	if !s.settleWorst(anything) {
		return
	}
	s.proven = true
	g := anything.settled(s.best.costs[0] + match.Equal)
	s.cut(g)
	o, complete := s.below(&g, 1, s.enough())
	if !complete {
		return
	}
	above := o.above()
	g.top, g.rest = g.top[:above], s.enough()
	s.cut(g)
	if g.parts = s.fewest(g); g.parts >= 0 {
		s.settleAll(g, above)
	}
}

// enough is the largest error that is good enough.
func (s *solver) enough() float64 { return s.p.Enough * (1 + match.Guard) }

// settleAll settles the errors from the worst down, of which the first few are
// settled, then the parts.
func (s *solver) settleAll(g goal, settled int) {
	if len(s.cases[0].ranges) > settled {
		if settled == 0 && !s.settleWorst(g) || settled > 0 && !s.minimise(g, settled) {
			return
		}
		s.proven = true
		g = g.settled(s.best.costs[settled] + match.Equal)
		s.cut(g)
		o, complete := s.below(&g, settled+1, 0)
		if !complete {
			return
		}
		if !o.tied() {
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
		chosen := s.packing.find(s.context, s.cases[0].must)
		if chosen == nil {
			return false
		}
		p := s.measure(chosen, s.cases[0].whole)
		if p == nil {
			return false
		}
		s.best = p
	}
	s.report()
	s.complete = true
	for len(s.best.costs) > 0 && s.best.costs[0] > 4*margin {
		half := s.best.costs[0] / 2
		if !s.ask(goal{rest: half, parts: math.MaxInt}, s.lists, 50*len(s.tables)) {
			if s.complete {
				s.raise(half)
			}
			break
		}
	}
	if len(s.best.costs) > 0 {
		s.cut(goal{rest: max(s.best.costs[0]+match.Equal, s.enough()), parts: math.MaxInt})
	}
	return true
}

// cut forgets the candidates that no plan with this goal, or a tighter one, can
// have, by what follows at the root of its search: 1.3 times faster, 3 times with
// long lists.
func (s *solver) cut(g goal) {
	if len(s.cases) > 1 || s.ended {
		return
	}
	n := s.search.root(question{scenario: &s.cases[0], goal: g, lists: s.lists})
	if n == nil {
		return
	}
	for i, list := range n.live {
		s.lists[i] = slices.Clone(list)
	}
}

// ask tells whether there is a plan that keeps to the goal; complete then tells
// whether a no is proven.
func (s *solver) ask(g goal, lists [][]int32, limit int) bool {
	s.complete = true
	for i := range s.cases {
		found, complete := s.search.seek(question{scenario: &s.cases[i], goal: g, lists: lists, first: true, limit: limit})
		if found {
			return true
		}
		s.complete = s.complete && complete
	}
	return false
}

func (s *solver) any(g goal) bool { return s.ask(g, s.lists, math.MaxInt) }

// settleWorst makes the worst error as small as the goal allows. Levels far
// below the best plan are soon refuted and give a bound, so it goes up from
// there, until a plan is found; from the best plan down alone it takes 1.8 times
// as many evaluations. It returns false if it ended before all was proven.
func (s *solver) settleWorst(g goal) bool {
	if s.good {
		return s.minimise(g, 0)
	}
	for {
		level := s.low + max((s.best.costs[0]-s.low)/16, s.low*0.25)
		next, before := g, s.best
		next.rest = level
		if !s.minimise(next, 0) {
			return false
		}
		if s.best != before || level >= s.better(s.best.costs[0]) {
			s.raise(s.best.costs[0])
			return true
		}
		s.raise(level)
	}
}

// minimise makes the k-th error from the worst down as small as the goal
// allows. It returns false if it ended before that was proven.
func (s *solver) minimise(g goal, k int) bool {
	for i := range s.cases {
		g.rest = min(g.rest, s.better(s.best.costs[k]))
		if _, complete := s.search.seek(question{scenario: &s.cases[i], goal: g, lists: s.lists, limit: math.MaxInt}); !complete {
			return false
		}
	}
	return true
}

// below settles the errors behind the first few, all at once, and puts that
// into the goal; those below the floor count as that. It returns false if it
// ended before all was proven.
func (s *solver) below(g *goal, settled int, floor float64) (o *order, complete bool) {
	o = newOrder(*g, s.best.costs, settled, s.limits != nil, floor)
	for again := true; again; again = o.close {
		o.again()
		for i := range s.cases {
			g.order, g.top = o, o.levels(g.top[:settled])
			if _, complete := s.search.seek(question{scenario: &s.cases[i], goal: *g, lists: s.lists, limit: math.MaxInt}); !complete {
				return o, false
			}
		}
	}
	g.order, g.top = nil, o.levels(g.top[:settled])
	return o, true
}
