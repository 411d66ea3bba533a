package assign

import (
	"cmp"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// Steps chooses for slots that share nothing but parts, in an order with a
// resolution. It starts from a plan, and looks at all networks whose ranges
// cost at most what caps say of each slot, in percent; what costs more must be
// in no plan that comes before. told is told of every better plan.
func Steps(with *objective.Objective, nets []network.Network, caps []float64, told func([]network.Network)) Stepped {
	pl := &planner{with, 0}
	p := Problem{Parts: pl.Stock.Len(), Positions: make([][]Candidate, len(nets)), First: make([]int, len(nets)), Loose: true}
	from, whole := make([][]network.Network, len(nets)), true
	for i, n := range nets {
		list, all := pl.stepped(i, caps[i])
		whole = whole && all
		p.First[i] = -1
		if !n.IsZero() {
			p.First[i] = len(list)
			list = append(list, pl.judged(i, n))
		}
		for _, s := range list {
			set := s.net.Set()
			p.Positions[i] = append(p.Positions[i], Candidate{Parts: slices.Clone(set[:s.net.Size()]), Cost: s.Steps, Points: s.Points})
			from[i] = append(from[i], s.net)
		}
	}
	p.Step = func(at Progress) { told(network.Pick(from, at.Chosen)) }
	a, err := Solve(pl.Context, p)
	if err != nil { // the lists are as Solve wants them
		return Stepped{Nets: nets}
	}
	out := Stepped{Nets: network.Pick(from, a.Chosen), Exact: whole && a.Exact}
	if whole {
		out.Points, out.Within = a.Points, a.Bound
	}
	return out
}

// Stepped is what Steps found.
type Stepped struct {
	Nets   []network.Network
	Exact  bool    // no plan comes before it
	Points int     // no plan that fills as many has fewer
	Within float64 // with as few points none has fewer steps in the worst range within the class
}

// judged is a network with what its range counts for.
type judged struct {
	net network.Network
	match.Tally
}

func (pl *planner) judged(slot int, n network.Network) judged {
	all := make([]network.Network, len(pl.Needs))
	all[slot] = n
	return judged{n, pl.Order().Tally(pl.CostAlone(slot, all))}
}

func byTally(a, b judged) int {
	return cmp.Or(cmp.Compare(a.Points, b.Points), cmp.Compare(a.Steps, b.Steps), cmp.Compare(a.net.Size(), b.net.Size()))
}

// stepped lists the networks of a slot that cost at most so much and may be
// wanted, and reports whether these are all: first those without steps, the
// smallest ones first, then those with some steps more and more, until some are
// left whatever the other slots take.
func (pl *planner) stepped(slot int, most float64) (list []judged, all bool) {
	need := pl.Needs[slot]
	for upTo := max(pl.Resolution, pl.Enough); ; upTo *= 4 {
		if upTo = min(upTo, most); pl.FractionAt(slot, upTo, need.Within) >= need.Within {
			upTo = most
		}
		list = nil
		for m := range need.AtMost + 1 {
			if !pl.addStepped(&list, slot, m, upTo) {
				return list, false
			}
			slices.SortStableFunc(list, byTally)
			nets := make([]network.Network, len(list))
			for k, s := range list {
				nets[k] = s.net
			}
			if k := pl.apart(slot, nets); k < len(list) && (m == need.AtMost || list[k].Tally == match.Tally{}) {
				last := list[k]
				return slices.DeleteFunc(list, func(s judged) bool { return byTally(s, last) > 0 }), true
			}
		}
		if upTo >= most {
			return list, true
		}
	}
}

// addStepped adds the networks of so many parts that cost at most so much, and
// reports false if they are too many or the context ended.
func (pl *planner) addStepped(list *[]judged, slot, parts int, upTo float64) bool {
	need := pl.Needs[slot]
	need.Within = pl.FractionAt(slot, upTo, need.Within)
	lo, hi := pl.Wanted.Reach(need)
	all := make([]network.Network, len(pl.Needs))
	pl.Reset()
	return pl.Finder.Each(pl.Context, need, parts, lo, hi, func(n network.Network) bool {
		all[slot] = n
		if cost := pl.CostAlone(slot, all); cost <= upTo*(1+match.Guard) {
			*list = append(*list, judged{n, pl.Order().Tally(cost)})
		}
		return len(*list) < pl.mostListed()
	}) && len(*list) < pl.mostListed()
}
