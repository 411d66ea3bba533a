package match

import (
	"cmp"
	"math"

	"shuntwright/match/coupled"
)

// smallGap is so little of the worst error, in percentage points, that proving
// more of it serves nobody.
const smallGap = 1e-3

// For a coupled slot so many networks are listed first, and so many at most;
// for all together so many, which keeps memory in bounds. Tests make them small.
var (
	coupledFirst = 4096
	coupledMost  = 1 << 18
	coupledAll   = 1 << 20
)

// planCoupled plans where a slot moves several ranges, or a range depends on
// several slots. It chooses from the networks nearest to the targets; what that
// choice is worth leaves each slot a window outside of which nothing can be
// better. If that is not all listed, it lists what is in there and chooses again.
func (pl *planner) planCoupled() (Plan, error) {
	windows, lists, best := pl.p.Needs, make([]list, len(pl.p.Needs)), Plan{}
	most := pl.mostHeld()
	for top := min(coupledFirst, most); ; top = min(8*top, most) {
		lists = pl.listWindows(lists, windows, top)
		whole, last := pl.covered(lists, windows), top == most
		budget, gap := coupled.DefaultBudget, smallGap
		if !whole { // not worth much to prove, least of all if more is to be listed
			gap = math.Inf(1)
			if !last {
				budget /= 8
			}
		}
		a, out, err := pl.chooseCoupled(lists, budget, gap)
		if err != nil {
			return Plan{}, err
		}
		if best.Networks == nil || whole && a.Proven || pl.better(out, best) {
			best = out
		}
		if whole || pl.ctx.Err() != nil {
			return pl.concludeCoupled(best, a, whole, pl.boundBy(a, lists, best)), nil
		}
		narrow := pl.narrowed(lists, windows, best)
		if a.Exact && pl.covered(lists, narrow) {
			return pl.concludeCoupled(out, a, true, pl.boundBy(a, lists, best)), nil
		}
		if last && !pl.covered(lists, narrow) {
			return pl.concludeCoupled(best, a, false, min(pl.boundBy(a, lists, best), pl.listedLevel(lists, best))), nil
		}
		windows = narrow
	}
}

// boundBy is what the search among the lists proves of the worst error. Where it
// is good enough, networks of more parts are not all listed, and nothing is
// known of the smaller errors that they may have.
func (pl *planner) boundBy(a coupled.Answer, lists []list, best Plan) float64 {
	if best.Worst <= pl.p.Enough && !pl.covered(lists, pl.p.Needs) {
		return 0
	}
	return a.Bound
}

// mostHeld is how many networks a list holds at most.
func (pl *planner) mostHeld() int { return min(coupledMost, coupledAll/max(1, len(pl.p.Needs))) }

// chooseCoupled asks package coupled for the best choice from the lists.
func (pl *planner) chooseCoupled(lists []list, budget int, gap float64) (coupled.Answer, Plan, error) {
	slots, nets := make([]coupled.Slot, len(lists)), make([][]Network, len(lists))
	for i, l := range lists {
		nets[i], slots[i].Candidates = l.nets, make([]coupled.Candidate, len(l.nets))
		parts := make([]int32, 0, MaxParts*len(l.nets))
		for k, n := range l.nets {
			set, from := n.Set(), len(parts)
			parts = append(parts, set[:n.Size()]...)
			slots[i].Candidates[k] = coupled.Candidate{Value: n.Value(), Parts: parts[from:len(parts):len(parts)], Traits: pl.traits(i, n)}
		}
	}
	p := pl.coupledProblem(slots, nets)
	p.Budget, p.Gap = budget, gap
	a, err := coupled.Solve(pl.ctx, p)
	chosen := make([]Network, len(lists))
	for i, k := range a.Chosen {
		if k >= 0 {
			chosen[i] = nets[i][k]
		}
	}
	return a, pl.plan(chosen), err
}

// better reports whether plan a comes before plan b in what is settled first.
func (pl *planner) better(a, b Plan) bool {
	count := func(p Plan) (filled, whole int) {
		for _, f := range p.Filled {
			if f {
				filled++
			}
		}
		for _, e := range p.Errors {
			if !math.IsNaN(e) {
				whole++
			}
		}
		return filled, whole
	}
	filledA, wholeA := count(a)
	filledB, wholeB := count(b)
	if c := cmp.Or(cmp.Compare(filledB, filledA), cmp.Compare(wholeB, wholeA)); c != 0 {
		return c < 0
	}
	if a.Worst <= pl.p.Enough && b.Worst <= pl.p.Enough && a.Parts() != b.Parts() {
		return a.Parts() < b.Parts()
	}
	return a.Worst < b.Worst
}

func (pl *planner) coupledProblem(slots []coupled.Slot, nets [][]Network) coupled.Problem {
	p := coupled.Problem{Parts: pl.stock.Len(), Slots: slots, Ranges: pl.p.Ranges, Response: pl.p.Response,
		Enough: pl.p.Enough}
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

// concludeCoupled says how the search ended.
func (pl *planner) concludeCoupled(out Plan, a coupled.Answer, whole bool, bound float64) Plan {
	switch {
	case !a.Proven:
		return pl.seal(out, bound, pl.early())
	case whole && a.Exact:
		return pl.seal(out, bound, Exact)
	case whole || bound >= out.Worst-coupled.Equal:
		return pl.seal(out, bound, WorstProven)
	}
	return pl.seal(out, bound, pl.early())
}
