package branch

import (
	"cmp"
	"math"

	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// SmallGap is so little of the worst error, in percentage points, that proving
// more of it serves nobody.
const SmallGap = 1e-3

// sizes are how many networks are listed for a slot at first and at most, and for
// all slots together. Answers are exact with any, or say that they are not.
type Sizes struct{ First, Most, All int }

// Usual is fast on usual drawers, and keeps memory in bounds.
var Usual = Sizes{First: 4096, Most: 1 << 18, All: 1 << 20}

// planner has what is particular to coupled positions.
type planner struct {
	*objective.Objective
	sizes Sizes
	none  map[int]bool // of the slots asked for, whether there is no network at all
}

func newPlanner(with *objective.Objective, sizes Sizes) *planner {
	return &planner{with, sizes, map[int]bool{}}
}

// Plan plans for slots that may share ranges.
func Plan(with *objective.Objective, sizes Sizes) (match.Plan, error) {
	pl := newPlanner(with, sizes)
	if pl.Enough > 0 && pl.Enough >= pl.Fixed() {
		return pl.planFewParts()
	}
	return pl.planWithin(pl.Needs, match.Plan{})
}

// planWithin plans with networks from the windows. It chooses from the networks
// nearest to the targets; what that choice is worth leaves each slot a window
// outside of which nothing can be better. If that is not all listed, it lists
// what is in there and chooses again. best is a plan that is good enough, with
// networks from the windows too, or the zero Plan.
func (pl *planner) planWithin(windows []match.Need, best match.Plan) (match.Plan, error) {
	lists, most := make([]list, len(windows)), pl.mostHeld()
	for top := min(pl.sizes.First, most); ; top = min(8*top, most) {
		lists = pl.listWindows(lists, windows, top)
		whole, last := pl.covered(lists, windows), top == most
		gap := SmallGap
		if !whole { // not worth much to prove
			gap = math.Inf(1)
		}
		a, out, err := pl.choose(lists, DefaultBudget, gap)
		if err != nil {
			return match.Plan{}, err
		}
		if best.Networks == nil || pl.better(out, best) || whole && a.Proven && !pl.fewer(best, out) {
			best = out
		}
		if whole || pl.Context.Err() != nil {
			return pl.conclude(best, a, whole, pl.boundBy(a, lists, best)), nil
		}
		narrow := pl.narrowed(lists, windows, best)
		if a.Exact && pl.covered(lists, narrow) {
			return pl.conclude(out, a, true, pl.boundBy(a, lists, best)), nil
		}
		if last && !pl.covered(lists, narrow) {
			return pl.conclude(best, a, false, min(pl.boundBy(a, lists, best), pl.listedLevel(lists, best))), nil
		}
		windows = narrow
	}
}

// boundBy is what the search among the lists proves of the worst error. Where it
// is good enough, networks of more parts are not all listed, and nothing is
// known of the smaller errors that they may have.
func (pl *planner) boundBy(a Answer, lists []list, best match.Plan) float64 {
	if best.Worst <= pl.Enough && !pl.covered(lists, pl.Needs) {
		return 0
	}
	return a.Bound
}

// mostHeld is how many networks a list holds at most.
func (pl *planner) mostHeld() int { return min(pl.sizes.Most, pl.sizes.All/max(1, len(pl.Needs))) }

// choose asks Solve for the best choice from the lists.
func (pl *planner) choose(lists []list, budget int, gap float64) (Answer, match.Plan, error) {
	slots, nets := make([][]Candidate, len(lists)), make([][]network.Network, len(lists))
	for i, l := range lists {
		nets[i], slots[i] = l.nets, make([]Candidate, len(l.nets))
		parts := make([]int32, 0, network.MaxParts*len(l.nets))
		for k, n := range l.nets {
			set, from := n.Set(), len(parts)
			parts = append(parts, set[:n.Size()]...)
			slots[i][k] = Candidate{Value: n.Value(), Parts: parts[from:len(parts):len(parts)], Attributes: pl.attributes(i, n)}
		}
	}
	p := pl.question(slots, nets)
	p.Budget, p.Gap = budget, gap
	a, err := Solve(pl.Context, p)
	return a, pl.Plan(network.Pick(nets, a.Chosen)), err
}

// better reports whether plan a comes before plan b in what is settled first.
func (pl *planner) better(a, b match.Plan) bool {
	count := func(p match.Plan) (filled, whole int) {
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
	if a.Worst <= pl.Enough && b.Worst <= pl.Enough && a.Parts() != b.Parts() {
		return a.Parts() < b.Parts()
	}
	return a.Worst < b.Worst
}

func (pl *planner) question(slots [][]Candidate, nets [][]network.Network) Problem {
	p := Problem{Parts: pl.Stock.Len(), Slots: slots, Ranges: pl.Ranges, Response: pl.Response,
		Enough: pl.Enough, Step: pl.Progress}
	if pl.Limit != nil {
		p.Limits = &sureness{pl, nets, make([]network.Network, len(nets))}
	}
	return p
}

// conclude says how the search ended.
func (pl *planner) conclude(out match.Plan, a Answer, whole bool, bound float64) match.Plan {
	switch {
	case !a.Proven:
		return pl.Seal(out, bound, pl.Early())
	case whole && a.Exact:
		return pl.Seal(out, bound, match.Exact)
	case whole || bound >= out.Worst-match.Equal:
		return pl.Seal(out, bound, match.WorstProven)
	}
	return pl.Seal(out, bound, pl.Early())
}
