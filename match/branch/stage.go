package branch

import (
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/branch/node"
	"shuntwright/match/branch/search"
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
	g := node.Anything
	if s.p.Enough > 0 {
		g.Rest = s.enough()
		switch enough := g.Admits(s.Best.Costs, s.Best.Parts) || s.any(g); {
		case enough:
			s.Proven, s.Good = true, true
			s.cut(g)
			if g.Parts = s.fewest(g); g.Parts < 0 {
				return
			}
		case !s.complete:
			return
		default:
			s.Raise(s.p.Enough)
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
		g := node.Anything
		g.Bar = s.p.Bar
		found, complete := s.search.Seek(search.Question{Case: &s.cases[i], Goal: g, Lists: s.lists, Limit: math.MaxInt})
		s.found, s.exact = s.found || found, s.exact && complete
	}
}

// prepare lists the candidates that count: for a slot that no scenario needs
// only those whose parts hold those of no other.
func (s *solver) prepare() {
	s.lists = make([][]int32, len(s.Tables))
	for i := range s.Tables {
		if slices.ContainsFunc(s.cases, func(sc node.Scenario) bool { return sc.Must[i] }) {
			s.lists[i] = s.Tables[i].All()
		} else {
			s.lists[i] = s.minimal[i]
		}
	}
}

// settleAbove settles the errors that are not good enough, then the number of
// parts, then all else.
func (s *solver) settleAbove() {
	if !s.settleWorst(node.Anything) {
		return
	}
	s.Proven = true
	g := node.Anything.Settled(s.Best.Costs[0] + match.Equal)
	s.cut(g)
	o, complete := s.below(&g, 1, s.enough())
	if !complete {
		return
	}
	above := o.Above()
	g.Top, g.Rest = g.Top[:above], s.enough()
	s.cut(g)
	if g.Parts = s.fewest(g); g.Parts >= 0 {
		s.settleAll(g, above)
	}
}

// enough is the largest error that is good enough.
func (s *solver) enough() float64 { return s.p.Enough * (1 + match.Guard) }

// settleAll settles the errors from the worst down, of which the first few are
// settled, then the parts.
func (s *solver) settleAll(g node.Goal, settled int) {
	if len(s.cases[0].Ranges) > settled {
		if settled == 0 && !s.settleWorst(g) || settled > 0 && !s.minimise(g, settled) {
			return
		}
		s.Proven = true
		g = g.Settled(s.Best.Costs[settled] + match.Equal)
		s.cut(g)
		o, complete := s.below(&g, settled+1, 0)
		if !complete {
			return
		}
		if !o.Tied() {
			s.exact = true
			return
		}
		s.cut(g)
	}
	s.Proven = true
	if last := len(g.Top) - 1; last >= 0 {
		g.Rest, g.Top = g.Top[last], g.Top[:last]
	}
	if g.Parts == math.MaxInt {
		if g.Parts = s.fewest(g); g.Parts < 0 {
			return
		}
	}
	s.exact = s.firstParts(g)
}

// start finds a first plan and betters it while that is easy.
func (s *solver) start() bool {
	if s.packing != nil { // the greedy plan does not fill enough
		chosen := s.packing.Find(s.Context, s.cases[0].Must)
		if chosen == nil {
			return false
		}
		p := s.Measure(chosen, s.cases[0].Whole)
		if p == nil {
			return false
		}
		s.Best = p
	}
	s.Report()
	s.complete = true
	s.base = s.ground()
	for len(s.Best.Costs) > 0 && s.Best.Costs[0]-s.base > 4*node.Margin {
		half := s.base + (s.Best.Costs[0]-s.base)/2
		if !s.ask(node.Goal{Rest: half, Parts: math.MaxInt}, s.lists, 50*len(s.Tables)) {
			if s.complete {
				s.Raise(half)
			}
			break
		}
	}
	if len(s.Best.Costs) > 0 {
		s.cut(node.Goal{Rest: max(s.Best.Costs[0]+match.Equal, s.enough()), Parts: math.MaxInt})
	}
	return true
}

// cut forgets the candidates that no plan with this goal, or a tighter one, can
// have, by what follows at the root of its search.
func (s *solver) cut(g node.Goal) {
	if len(s.cases) > 1 || s.Ended {
		return
	}
	n := s.search.Root(search.Question{Case: &s.cases[0], Goal: g, Lists: s.lists})
	if n == nil {
		return
	}
	for i, list := range n.Live {
		s.lists[i] = slices.Clone(list)
	}
}

// ask tells whether there is a plan that keeps to the goal; complete then tells
// whether a no is proven.
func (s *solver) ask(g node.Goal, lists [][]int32, limit int) bool {
	s.complete = true
	for i := range s.cases {
		found, complete := s.search.Seek(search.Question{Case: &s.cases[i], Goal: g, Lists: lists, First: true, Limit: limit})
		if found {
			return true
		}
		s.complete = s.complete && complete
	}
	return false
}

func (s *solver) any(g node.Goal) bool { return s.ask(g, s.lists, math.MaxInt) }

// settleWorst makes the worst error as small as the goal allows. Levels far
// below the best plan are soon refuted and give a bound, so it goes up from
// there, doubling what is above the ground, until a plan is found. It returns
// false if it ended before all was proven.
func (s *solver) settleWorst(g node.Goal) bool {
	if s.Good {
		return s.minimise(g, 0)
	}
	for {
		ground := max(s.Low, s.base)
		level := ground + max((s.Best.Costs[0]-ground)/16, (ground-s.base)*0.25)
		next, before := g, s.Best
		next.Rest = level
		if !s.minimise(next, 0) {
			return false
		}
		if s.Best != before || level >= s.Better(s.Best.Costs[0]) {
			s.Raise(s.Best.Costs[0])
			return true
		}
		s.Raise(level)
	}
}

// minimise makes the k-th error from the worst down as small as the goal
// allows. It returns false if it ended before that was proven.
func (s *solver) minimise(g node.Goal, k int) bool {
	for i := range s.cases {
		g.Rest = min(g.Rest, s.Better(s.Best.Costs[k]))
		if _, complete := s.search.Seek(search.Question{Case: &s.cases[i], Goal: g, Lists: s.lists, Limit: math.MaxInt}); !complete {
			return false
		}
	}
	return true
}

// below settles the errors behind the first few, all at once, and puts that
// into the goal; those below the floor count as that. It returns false if it
// ended before all was proven.
func (s *solver) below(g *node.Goal, settled int, floor float64) (o *node.Order, complete bool) {
	o = node.NewOrder(*g, s.Best.Costs, settled, s.Limits != nil, floor)
	for again := true; again; again = o.Close {
		o.Again()
		for i := range s.cases {
			g.Order, g.Top = o, o.Levels(g.Top[:settled])
			if _, complete := s.search.Seek(search.Question{Case: &s.cases[i], Goal: *g, Lists: s.lists, Limit: math.MaxInt}); !complete {
				return o, false
			}
		}
	}
	g.Order, g.Top = nil, o.Levels(g.Top[:settled])
	return o, true
}

// ground returns what the worst error, with its limit, is at least by the
// limits alone.
func (s *solver) ground() float64 {
	if !s.Floors {
		return 0
	}
	least := math.Inf(1)
	for i := range s.cases {
		worst := 0.0
		if n := s.search.Root(search.Question{Case: &s.cases[i], Goal: node.Anything, Lists: s.lists}); n != nil {
			for _, r := range s.cases[i].Ranges {
				worst = max(worst, n.Floor[r])
			}
		}
		least = min(least, worst)
	}
	return least
}
