package match

import (
	"math"
	"slices"

	"shuntwright/match/disjoint"
	"shuntwright/match/slots"
)

// listedFirst is how many networks a slot are listed before the first choice
// is made; if that is all of them, one choice does. Tests make it small.
var listedFirst = 2048

// planSeparate plans where each range has a slot of its own. It chooses from
// the networks nearest to each target, and then tells whether others could do
// better; if so, it lists more and chooses again.
func (pl *planner) planSeparate() (Plan, error) {
	lists, ok := pl.firstLists()
	good := make([]goodList, len(lists))
	for {
		a, chosen, err := pl.choose(lists, good)
		if err != nil {
			return Plan{}, err
		}
		again := ok && a.Exact && (pl.extend(good, lists, chosen, &ok) || !pl.settled(lists, chosen) && pl.growAll(lists, &ok))
		if !again || !ok {
			narrowed := slices.ContainsFunc(good, func(g goodList) bool { return g.narrowed })
			return pl.conclude(pl.plan(chosen), a, lists, narrowed, ok), nil
		}
	}
}

// firstLists makes a list for every slot, as short as may do at first. ok is
// false if the context ended.
func (pl *planner) firstLists() (lists []*shortlist, ok bool) {
	ok = true
	for i := range pl.p.Needs {
		l := &shortlist{slot: i}
		lists = append(lists, l)
		for _, top := range []int{pl.firstTop(), listedFirst} {
			if ok && !math.IsInf(l.level, 1) && l.top < top {
				ok = pl.grow(l, top)
			}
		}
	}
	return lists, ok
}

// firstTop is how many networks are tried first: some more than the other
// positions could block.
func (pl *planner) firstTop() int {
	total := 1
	for _, n := range pl.p.Needs {
		total += n.AtMost
	}
	return min(4*total, listedFirst)
}

// growAll lists more for every slot where something is missing, and reports
// whether there was one that may still grow.
func (pl *planner) growAll(lists []*shortlist, ok *bool) bool {
	grown := false
	for _, l := range lists {
		if math.IsInf(l.level, 1) || l.top >= pl.mostListed() || !*ok {
			continue
		}
		*ok = pl.grow(l, min(4*l.top, pl.mostListed()))
		grown = true
	}
	return grown
}

// settled reports whether nothing that is missing in the lists can do better.
// What is missing costs more than the level. If every slot that costs more than
// that has the best it can have at all, then a plan with something missing
// costs at least as much in these slots, and more in one of them or more than
// the level in one slot besides.
func (pl *planner) settled(lists []*shortlist, chosen []Network) bool {
	level := leastLevel(lists)
	if math.IsInf(level, 1) {
		return true
	}
	pl.respond(chosen)
	good, worst := true, 0.0
	for i, n := range chosen {
		l := lists[i]
		if n.IsZero() {
			if len(l.of) > 0 {
				return false
			}
			continue
		}
		c := pl.cost(pl.RangeOf[i])
		worst = max(worst, c)
		if c+slots.Margin > level && (c > l.best()+slots.Margin || l.level <= l.best()+slots.Margin) {
			good = false
		}
	}
	// A plan that is good enough is chosen from lists of their own.
	return good || worst <= pl.enough() && !slices.ContainsFunc(chosen, Network.IsZero)
}

func leastLevel(lists []*shortlist) float64 {
	level := math.Inf(1)
	for _, l := range lists {
		level = min(level, l.level)
	}
	return level
}

// choose asks package disjoint for the best choice from the lists.
func (pl *planner) choose(lists []*shortlist, good []goodList) (disjoint.Answer, []Network, error) {
	p := disjoint.Problem{Parts: pl.stock.Len(), Positions: make([][]disjoint.Candidate, len(lists)), Enough: pl.enough()}
	if pl.p.Progress != nil {
		p.Step = func(s disjoint.Progress) {
			pl.p.Progress(Progress{Filled: s.Filled, Worst: s.Worst, Bound: s.Bound, Steps: s.Questions})
		}
	}
	from := make([][]candidate, len(lists))
	for i, l := range lists {
		from[i] = slices.Concat(l.of, good[i].of)
		for _, c := range from[i] {
			set := c.net.Set()
			p.Positions[i] = append(p.Positions[i], disjoint.Candidate{Parts: slices.Clone(set[:c.net.Size()]), Cost: c.cost})
		}
	}
	a, err := disjoint.Solve(pl.ctx, p)
	chosen := make([]Network, len(lists))
	for i, k := range a.Chosen {
		if k >= 0 {
			chosen[i] = from[i][k].net
		}
	}
	return a, chosen, err
}

// enough is Problem.Enough, or 0 where a range that no slot moves is worse, so
// that no plan is good enough.
func (pl *planner) enough() float64 {
	if pl.fixed() > pl.p.Enough {
		return 0
	}
	return pl.p.Enough
}

// conclude says how a search among the lists ended, and what it proves.
func (pl *planner) conclude(out Plan, a disjoint.Answer, lists []*shortlist, narrowed, ok bool) Plan {
	level := leastLevel(lists)
	settled := ok && pl.settled(lists, out.Networks)
	switch {
	case settled && a.Exact && !narrowed:
		return pl.seal(out, a.Bound, Exact)
	case settled && a.Proven:
		return pl.seal(out, a.Bound, WorstProven)
	case math.IsInf(level, 1) || !slices.Contains(out.Filled, false):
		return pl.seal(out, min(a.Bound, level), pl.early())
	}
	return pl.seal(out, 0, pl.early())
}
