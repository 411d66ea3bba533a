package match

import (
	"math"
	"slices"

	"shuntwright/match/disjoint"
)

// listedFirst is how many networks a slot are listed before the first choice
// is made; if that is all of them, one choice does. Tests make it small.
var listedFirst = 2048

// planSeparate plans where each range has a slot of its own. It chooses from
// the networks nearest to each target, and then tells whether others could do
// better; if so, it lists more and chooses again.
func (pl *planner) planSeparate() (Plan, error) {
	lists := make([]*shortlist, len(pl.p.Needs))
	for i := range lists {
		lists[i] = &shortlist{slot: i}
	}
	ok := true
	for _, l := range lists {
		for top := pl.firstTop(); ok; top = min(8*top, listedFirst) {
			if ok = pl.grow(l, top); math.IsInf(l.level, 1) || top >= listedFirst {
				break
			}
		}
	}
	extra, narrowed := pl.goodEnough(&ok)
	for {
		a, chosen, err := pl.choose(lists, extra)
		if err != nil {
			return Plan{}, err
		}
		out := pl.plan(chosen)
		grown := false
		if ok && a.Exact && !pl.settled(lists, chosen) {
			grown = pl.growAll(lists, &ok)
		}
		if !grown || !ok {
			return pl.conclude(out, a, lists, narrowed, ok), nil
		}
	}
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
		if math.IsInf(l.level, 1) || l.top >= mostListed || !*ok {
			continue
		}
		*ok = pl.grow(l, min(4*l.top, mostListed))
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
		c := pl.cost(pl.rangeOf[i])
		worst = max(worst, c)
		if c+margin > level && (c > l.best()+margin || l.level <= l.best()+margin) {
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
func (pl *planner) choose(lists []*shortlist, extra [][]candidate) (disjoint.Answer, []Network, error) {
	p := disjoint.Problem{Parts: pl.stock.Len(), Positions: make([][]disjoint.Candidate, len(lists)), Enough: pl.enough()}
	if pl.p.Progress != nil {
		p.Step = func(s disjoint.Progress) {
			pl.p.Progress(Progress{Filled: s.Filled, Worst: s.Worst, Bound: s.Bound, Steps: s.Questions})
		}
	}
	from := make([][]candidate, len(lists))
	for i, l := range lists {
		from[i] = l.of
		if extra != nil {
			from[i] = slices.Concat(l.of, extra[i])
		}
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

// goodEnough lists for every slot the networks within Enough that may be
// wanted because they have few parts: for each number of parts the cheapest,
// until whatever the other slots take leaves one of them. narrowed is true if
// there were too many.
func (pl *planner) goodEnough(ok *bool) (out [][]candidate, narrowed bool) {
	if pl.enough() == 0 {
		return nil, false
	}
	for i, need := range pl.p.Needs {
		var list []candidate
		for m := 0; m <= need.AtMost && *ok; m++ {
			more, all := pl.ofSize(i, m, list, ok)
			narrowed = narrowed || !all
			sated := pl.enoughApart(i, list, more) < len(more)
			list = append(list, more...)
			if sated {
				break
			}
		}
		out = append(out, list)
	}
	return out, narrowed
}

// ofSize lists the networks of exactly m parts within Enough, ascending by
// cost, or as many of them as are wanted beside those with fewer parts. all is
// false if there were too many.
func (pl *planner) ofSize(slot, m int, fewer []candidate, ok *bool) (list []candidate, all bool) {
	for top := pl.firstTop(); ; top *= 4 {
		nets, reach, done := pl.nearest(slot, m, m, top)
		if !done {
			*ok = false
			return list, false
		}
		list = slices.DeleteFunc(pl.cheapest(slot, nets), func(c candidate) bool { return c.cost > pl.p.Enough })
		if k := pl.enoughApart(slot, fewer, list); k < len(list) && list[k].cost+margin <= reach {
			cut := list[k].cost + margin
			return slices.DeleteFunc(list, func(c candidate) bool { return c.cost > cut }), true
		}
		if reach > pl.p.Enough || top >= mostListed {
			return list, reach > pl.p.Enough
		}
	}
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
