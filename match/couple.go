package match

import (
	"cmp"
	"slices"

	"shuntwright/match/coupled"
	"shuntwright/match/network"
)

// Lists for coupled slots start with so many networks a slot, and grow until
// they hold all in the window, or so many, or until the worst error is so
// small, in percentage points, that proving more of it serves nobody. Tests
// make the first number small.
var coupledFirst = 4096

const (
	coupledMost = 1 << 16
	smallGap    = 1e-3
)

// planCoupled plans where a slot moves several ranges, or a range depends on
// several slots.
func (pl *planner) planCoupled() (Plan, error) {
	for top := coupledFirst; ; top *= 4 {
		slots, nets, whole := pl.candidates(top)
		a, err := coupled.Solve(pl.ctx, pl.coupledProblem(slots, nets))
		if err != nil {
			return Plan{}, err
		}
		chosen := make([]Network, len(nets))
		for i, k := range a.Chosen {
			if k >= 0 {
				chosen[i] = nets[i][k]
			}
		}
		out := pl.plan(chosen)
		if whole || pl.ctx.Err() != nil || top >= coupledMost || a.Filled == len(chosen) && a.Worst <= smallGap {
			return pl.concludeCoupled(out, a, whole), nil
		}
	}
}

func (pl *planner) coupledProblem(slots []coupled.Slot, nets [][]Network) coupled.Problem {
	p := coupled.Problem{Parts: pl.stock.Len(), Slots: slots, Ranges: pl.p.Ranges, Response: pl.p.Response,
		Enough: pl.p.Enough, Budget: coupled.DefaultBudget, Gap: smallGap}
	if pl.p.Limit != nil {
		p.Limits = &sureness{pl, nets, make([]Network, len(nets))}
	}
	if pl.p.Progress != nil {
		p.Step = func(s coupled.Progress) {
			pl.p.Progress(Progress{Filled: s.Filled, Worst: s.Worst, Bound: s.Bound, Steps: s.Work})
		}
	}
	return p
}

// candidates lists for every slot the top networks nearest to its target,
// ascending by value. whole reports whether these are all in the window.
func (pl *planner) candidates(top int) (slots []coupled.Slot, nets [][]Network, whole bool) {
	whole = true
	for i, need := range pl.p.Needs {
		got := pl.pick(i, 0, need.AtMost, top)
		whole = whole && got.Proven && len(got.Choices) < top
		list := make([]Network, len(got.Choices))
		for k, c := range got.Choices {
			list[k] = c.Network
		}
		slices.SortFunc(list, func(a, b Network) int {
			return cmp.Or(cmp.Compare(a.Value(), b.Value()), network.Compare(a, b))
		})
		if pl.p.Limit == nil { // else one of them may be surer
			list = slices.CompactFunc(list, func(a, b Network) bool { return a.Value() == b.Value() && a.Set() == b.Set() })
		}
		var slot coupled.Slot
		for _, n := range list {
			set := n.Set()
			slot.Candidates = append(slot.Candidates, coupled.Candidate{Value: n.Value(), Parts: slices.Clone(set[:n.Size()]), Traits: pl.traits(i, n)})
		}
		slots, nets = append(slots, slot), append(nets, list)
	}
	return slots, nets, whole
}

// concludeCoupled says how the search ended.
func (pl *planner) concludeCoupled(out Plan, a coupled.Answer, whole bool) Plan {
	switch {
	case !whole:
		return pl.seal(out, 0, pl.early())
	case !a.Proven:
		return pl.seal(out, a.Bound, pl.early())
	case a.Exact:
		return pl.seal(out, a.Bound, Exact)
	}
	return pl.seal(out, a.Bound, WorstProven)
}
