// Package objective tells what a choice of networks counts for: which slot moves
// which range, what each range costs, and what a value far from its target costs
// at least.
package objective

import (
	"context"
	"math"
	"math/big"
	"slices"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/network"
)

// Objective holds a problem and the parts to solve it with, and has room for one
// choice. It is not for several goroutines at once.
type Objective struct {
	*Links
	Context context.Context
	match.Problem
	Stock  *enumerate.Stock
	Wanted enumerate.Selection
	Finder *enumerate.Finder // of the parts in Wanted
	limits []float64         // of all ranges, from Limit
	asked  []match.Need      // Needs before any window was widened
}

// New returns the objective for a valid problem.
func New(ctx context.Context, s *enumerate.Stock, p match.Problem) *Objective {
	pl := ToJudge(s, p)
	pl.Context, pl.Wanted = ctx, s.All()
	if p.Limit == nil {
		total := 0
		for _, n := range p.Needs {
			total += n.AtMost
		}
		pl.Wanted = s.Few(total)
	}
	pl.Finder = pl.Wanted.Finder()
	pl.reach()
	return pl
}

// ToJudge returns the objective for judging choices of networks alone: it has
// nothing to look for others with.
func ToJudge(s *enumerate.Stock, p match.Problem) *Objective {
	targets := make([]float64, len(p.Needs))
	for i, n := range p.Needs {
		targets[i] = n.Target
	}
	return &Objective{Links: NewLinks(p.Response, p.Ranges, targets), Problem: p, Stock: s, limits: make([]float64, p.Ranges), asked: p.Needs}
}

// Fork returns an objective of the same problem with room of its own.
func (pl *Objective) Fork() *Objective {
	out := *pl
	out.Links = NewLinks(pl.Response, pl.Ranges, pl.targets)
	out.limits = make([]float64, pl.Ranges)
	return &out
}

// Judge computes all errors, and limits if there are any, for the given
// networks; open slots are put on their targets.
func (pl *Objective) Judge(nets []network.Network) {
	pl.Reset()
	for i, n := range nets {
		if !n.IsZero() {
			pl.Values[i] = n.Value()
		}
	}
	pl.Respond()
	if pl.Limit != nil {
		pl.Limit(nets, pl.limits)
	}
}

// CostAlone returns what the slot's range, which depends on that slot alone,
// counts for with this network. all holds no other networks.
func (pl *Objective) CostAlone(slot int, all []network.Network) float64 {
	r := pl.RangeOf[slot]
	if pl.Limit != nil {
		pl.Limit(all, pl.limits)
	}
	pl.Values[slot] = all[slot].Value()
	return math.Abs(pl.ErrorOf(r)) + pl.limits[r]
}

// Cost is what range r counts for after Judge.
func (pl *Objective) Cost(r int) float64 { return math.Abs(pl.Errors[r]) + pl.limits[r] }

// Plan makes a Plan of the networks; its Bound, Proven and End are still to be
// filled in.
func (pl *Objective) Plan(nets []network.Network) match.Plan {
	out := match.Plan{Networks: nets, Filled: make([]bool, len(nets)), Errors: make([]float64, pl.Ranges),
		Worst: math.NaN(), Bound: math.NaN(), Considered: new(big.Int)}
	for i, n := range nets {
		if out.Filled[i] = !n.IsZero(); out.Filled[i] {
			out.Key.Filled++
		}
		out.Key.Parts += n.Size()
		need := pl.Needs[i]
		out.Considered.Add(out.Considered, network.Count(pl.Stock.Len(), need.AtMost, need.Keeps()))
	}
	pl.Judge(nets)
	for r, slots := range pl.SlotsOf {
		out.Errors[r] = math.NaN()
		if slices.ContainsFunc(slots, func(i int) bool { return nets[i].IsZero() }) {
			continue
		}
		out.Errors[r] = pl.Errors[r]
		cost := pl.Cost(r)
		if !(cost <= out.Worst) {
			out.Worst = cost
		}
		out.Key.Add(pl.Order().Tally(cost), cost)
	}
	return out
}

// Distinct sorts networks by value and leaves one of those that have the same parts
// and value, unless there is a limit: then one of them may be surer. It changes
// nets.
func (pl *Objective) Distinct(nets []network.Network) []network.Network {
	slices.SortFunc(nets, network.ByValue)
	if pl.Limit != nil {
		return nets
	}
	return slices.CompactFunc(nets, func(a, b network.Network) bool { return a.Value() == b.Value() && a.Set() == b.Set() })
}

// Fixed returns the largest cost of the ranges that depend on no slot, 0 if
// there is none.
func (pl *Objective) Fixed() float64 {
	pl.Judge(make([]network.Network, len(pl.Needs)))
	worst := 0.0
	for r, slots := range pl.SlotsOf {
		if len(slots) == 0 {
			worst = max(worst, pl.Cost(r))
		}
	}
	return worst
}

// Early tells why a search that proved nothing ended.
func (pl *Objective) Early() match.Ending {
	if pl.Context.Err() != nil {
		return match.Interrupted
	}
	return match.Narrowed
}

// Seal fills in what is proven about a plan: its Worst is at least bound, and
// at least what the ranges without a slot cost.
func (pl *Objective) Seal(out match.Plan, bound float64, end match.Ending) match.Plan {
	if !math.IsNaN(out.Worst) {
		out.Bound = min(max(bound, pl.Fixed()), out.Worst)
	}
	out.End = end
	out.Proven = end == match.Exact || end == match.WorstProven
	return out
}
