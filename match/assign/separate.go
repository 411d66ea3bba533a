package assign

import (
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// Listed is how many networks a slot are listed where a quick choice from fewer
// does not tell how many are wanted.
const Listed = 2048

// planner has what is particular to separate positions.
type planner struct {
	*objective.Objective
	listed int
}

// Plan plans where each range has a slot of its own. It chooses from the networks
// nearest to each target, and then tells whether others could do better; if so,
// it lists more and chooses again. The first choice is from few: it is mostly as
// good as the best, and lists that reach as far as it costs are all that is
// wanted. The answer does not depend on how many are listed, which is Listed for
// speed.
func Plan(with *objective.Objective, listed int) (match.Plan, error) {
	pl := &planner{with, listed}
	lists, ok := pl.firstLists()
	good := make([]goodList, len(lists))
	for {
		a, chosen, err := pl.choose(lists, good)
		if err != nil {
			return match.Plan{}, err
		}
		if again := ok && a.Exact && (pl.extend(good, chosen, &ok) || pl.growAll(lists, chosen, &ok)); !again || !ok {
			narrowed := slices.ContainsFunc(good, func(g goodList) bool { return g.narrowed })
			return pl.conclude(pl.Plan(chosen), a, lists, narrowed, ok), nil
		}
	}
}

// firstLists makes a short list for every slot. ok is false if the context
// ended.
func (pl *planner) firstLists() (lists []*shortlist, ok bool) {
	ok = true
	for i := range pl.Needs {
		l := &shortlist{slot: i}
		lists = append(lists, l)
		ok = ok && pl.grow(l, pl.firstTop(), math.Inf(1))
	}
	return lists, ok
}

// firstTop is how many networks are tried first: twice as many as the other
// positions could block, which is mostly enough and up to 20 times as fast.
func (pl *planner) firstTop() int {
	total := 1
	for _, n := range pl.Needs {
		total += n.AtMost
	}
	return min(2*total, pl.listed)
}

// growAll lists more for every slot where something is missing that may do
// better than the choice, and reports whether there was one that may still grow.
func (pl *planner) growAll(lists []*shortlist, chosen []network.Network, ok *bool) bool {
	wanted, grown := pl.wantedLevel(lists, chosen), false
	for _, l := range lists {
		if l.level >= wanted || l.top >= pl.mostListed() || !*ok {
			continue
		}
		*ok = pl.grow(l, min(max(4*l.top, pl.listed), pl.mostListed()), wanted)
		grown = true
	}
	return grown
}

// wantedLevel returns the level that all lists must reach so that nothing that
// is missing in them can do better than the choice, +Inf if no level is known to
// do. What is missing costs more than the level. If every slot that costs more
// than that has the best it can have at all, then a plan with something missing
// costs at least as much in these slots, and more in one of them or more than
// the level in one slot besides.
func (pl *planner) wantedLevel(lists []*shortlist, chosen []network.Network) float64 {
	pl.Judge(chosen)
	wanted := 0.0
	for i, n := range chosen {
		l := lists[i]
		if n.IsZero() {
			if len(l.of) > 0 {
				return math.Inf(1)
			}
			continue
		}
		c := pl.Cost(pl.RangeOf[i])
		if pl.none(c) { // what is good enough is chosen from lists of their own
			continue
		}
		if c > l.best()+objective.Margin || l.level <= l.best()+objective.Margin {
			wanted = max(wanted, c+objective.Margin)
		}
	}
	return wanted
}

// settled reports whether nothing that is missing in the lists can do better.
func (pl *planner) settled(lists []*shortlist, chosen []network.Network) bool {
	return leastLevel(lists) >= pl.wantedLevel(lists, chosen)
}

func leastLevel(lists []*shortlist) float64 {
	level := math.Inf(1)
	for _, l := range lists {
		level = min(level, l.level)
	}
	return level
}

// choose asks Solve for the best choice from the lists.
func (pl *planner) choose(lists []*shortlist, good []goodList) (Answer, []network.Network, error) {
	p := Problem{Parts: pl.Stock.Len(), Positions: make([][]Candidate, len(lists)), Enough: pl.Enough}
	p.Step = func(s Progress) {
		if pl.Progress != nil {
			pl.Progress(match.Progress{Filled: s.Filled, Worst: s.Worst, Bound: s.Bound})
		}
	}
	from := make([][]network.Network, len(lists))
	for i, l := range lists {
		for _, c := range slices.Concat(l.of, good[i].of) {
			set := c.net.Set()
			p.Positions[i] = append(p.Positions[i], Candidate{Parts: slices.Clone(set[:c.net.Size()]), Cost: c.cost})
			from[i] = append(from[i], c.net)
		}
	}
	a, err := Solve(pl.Context, p)
	return a, network.Pick(from, a.Chosen), err
}

// conclude says how a search among the lists ended, and what it proves.
func (pl *planner) conclude(out match.Plan, a Answer, lists []*shortlist, narrowed, ok bool) match.Plan {
	level := leastLevel(lists)
	settled := ok && pl.settled(lists, out.Networks)
	switch {
	case settled && a.Exact && !narrowed:
		return pl.Seal(out, a.Bound, match.Exact)
	case settled && a.Proven:
		return pl.Seal(out, a.Bound, match.WorstProven)
	case math.IsInf(level, 1) || !slices.Contains(out.Filled, false):
		return pl.Seal(out, min(a.Bound, level), pl.Early())
	}
	return pl.Seal(out, 0, pl.Early())
}
