package match

import (
	"context"
	"math"
	"math/big"
	"slices"

	"shuntwright/match/slots"
)

// planner is what both ways of planning share.
type planner struct {
	*slots.Links
	ctx    context.Context
	stock  *Stock
	p      Problem
	order  []int32   // the parts that may be wanted
	equals []int32   // of each part, the one before it among its equals, -1 if there is none; nil: equality is not used
	limits []float64 // of all ranges, from Limit
}

func newPlanner(ctx context.Context, s *Stock, p Problem) *planner {
	targets, total := make([]float64, len(p.Needs)), 0
	for i, n := range p.Needs {
		targets[i] = n.Target
		total += n.AtMost
	}
	pl := &planner{Links: slots.New(p.Response, p.Ranges, targets), ctx: ctx, stock: s, p: p, order: s.order, limits: make([]float64, p.Ranges)}
	if p.Limit == nil {
		// All positions together use at most total of any equal parts, and if not
		// the first ones, then these could be put in their place.
		pl.order = s.firsts(s.order, total)
		pl.equals = s.equals()
	}
	return pl
}

// wanted reports whether a network takes neighbours of any equal parts. Those
// that a plan takes can be dealt out again in the order of the positions, which
// changes no value and brings no part later in the drawer's order; then every
// position has neighbours. So other networks need not be looked at.
func (pl *planner) wanted(n Network) bool {
	if pl.equals == nil {
		return true
	}
	set := n.Set()
	parts := set[:n.Size()]
	for k, p := range parts {
		if before := pl.equals[p]; before >= 0 && !slices.Contains(parts[:k], before) && pl.hasEqual(parts[:k], p) {
			return false
		}
	}
	return true
}

func (pl *planner) hasEqual(parts []int32, p int32) bool {
	return slices.ContainsFunc(parts, func(q int32) bool { return pl.stock.parts[q] == pl.stock.parts[p] })
}

// respond computes all errors, and limits if there are any, for the given
// networks; open slots are put on their targets.
func (pl *planner) respond(nets []Network) {
	pl.Reset()
	for i, n := range nets {
		if !n.IsZero() {
			pl.Values[i] = n.Value()
		}
	}
	pl.Respond()
	if pl.p.Limit != nil {
		pl.p.Limit(nets, pl.limits)
	}
}

// costAlone returns what the slot's range, which depends on that slot alone,
// counts for with this network. all holds no other networks.
func (pl *planner) costAlone(slot int, all []Network) float64 {
	r := pl.RangeOf[slot]
	if pl.p.Limit != nil {
		pl.p.Limit(all, pl.limits)
	}
	pl.Values[slot] = all[slot].Value()
	return math.Abs(pl.ErrorOf(r)) + pl.limits[r]
}

// cost is what range r counts for after respond.
func (pl *planner) cost(r int) float64 { return math.Abs(pl.Errors[r]) + pl.limits[r] }

// plan makes a Plan of the networks; its Bound, Proven and End are still to be
// filled in.
func (pl *planner) plan(nets []Network) Plan {
	out := Plan{Networks: nets, Filled: make([]bool, len(nets)), Errors: make([]float64, pl.p.Ranges),
		Worst: math.NaN(), Bound: math.NaN(), Considered: new(big.Int)}
	for i, n := range nets {
		out.Filled[i] = !n.IsZero()
		need := pl.p.Needs[i]
		out.Considered.Add(out.Considered, Count(pl.stock.Len(), need.AtMost, need.keeps()))
	}
	pl.respond(nets)
	for r, slots := range pl.SlotsOf {
		out.Errors[r] = math.NaN()
		if !slices.ContainsFunc(slots, func(i int) bool { return nets[i].IsZero() }) {
			out.Errors[r] = pl.Errors[r]
			if c := pl.cost(r); !(c <= out.Worst) {
				out.Worst = c
			}
		}
	}
	return out
}

// fixed returns the largest cost of the ranges that depend on no slot, 0 if
// there is none.
func (pl *planner) fixed() float64 {
	pl.respond(make([]Network, len(pl.p.Needs)))
	worst := 0.0
	for r, slots := range pl.SlotsOf {
		if len(slots) == 0 {
			worst = max(worst, pl.cost(r))
		}
	}
	return worst
}

// early tells why a search that proved nothing ended.
func (pl *planner) early() Ending {
	if pl.ctx.Err() != nil {
		return Interrupted
	}
	return Narrowed
}

// seal fills in what is proven about a plan: its Worst is at least bound, and
// at least what the ranges without a slot cost.
func (pl *planner) seal(out Plan, bound float64, end Ending) Plan {
	if !math.IsNaN(out.Worst) {
		out.Bound = min(max(bound, pl.fixed()), out.Worst)
	}
	out.End = end
	out.Proven = end == Exact || end == WorstProven
	return out
}
