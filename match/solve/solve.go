package solve

import (
	"context"
	"fmt"
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/assign"
	"shuntwright/match/branch"
	"shuntwright/match/enumerate"
	"shuntwright/match/local"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// How many networks are listed at first and at most. Tests make them small.
var (
	listedFirst  = assign.Listed
	coupledSizes = branch.Usual
)

// Plan fills all positions at once. What counts, in this order: as many
// positions filled as possible, among those as many whole ranges; then what
// match.Key says: fewer points, smaller steps within the class, then outside of it,
// the largest first, fewer parts. What is equal in all that goes by smaller errors
// as far as the search met them, without proof. The plan is proven unless the
// context ends or too many networks would have to be held; however it ends, no
// position can be refitted from the free parts, and no two of one circuit by
// networks of up to two parts, to come earlier. With no position to fill it answers
// for the ranges as they are.
//
// With Resolution 0 it is the smallest worst |error| (plus limit), the smallest
// next worst, and so on down, what Enough says counting as none; fewer parts;
// smaller errors as they are; the parts' order in the drawer, position by
// position. Errors closer than 1e-9 % are equal. Where each range depends on
// one position only, the whole order is exact. Where positions are coupled the
// worst error (plus limit) is, unless the number of networks or of steps
// forbids it; End and Bound tell what is proven.
//
// An error means that the problem cannot be asked; a context that ends is none.
func Plan(ctx context.Context, s *enumerate.Stock, p match.Problem) (match.Plan, error) {
	if err := p.Validate(); err != nil {
		return match.Plan{}, fmt.Errorf("plan: %w", err)
	}
	plan, harm, err := planWithFewer(ctx, s, p)
	return unprovenBy(harm, plan), err
}

// Once is Plan without asking what fewer parts a position do: where the context
// ends before anything is proven, that may come earlier in the order.
func Once(ctx context.Context, s *enumerate.Stock, p match.Problem) (match.Plan, error) {
	if err := p.Validate(); err != nil {
		return match.Plan{}, fmt.Errorf("plan: %w", err)
	}
	plan, harm, err := planHarmless(ctx, s, p)
	return unprovenBy(harm, plan), err
}

// unprovenBy is a plan of which nothing is proven where a section was left out that
// did harm beside what it was chosen with: beside others it may do none.
func unprovenBy(harm bool, plan match.Plan) match.Plan {
	if harm && (plan.End == match.Exact || plan.End == match.WorstProven) {
		plan.End, plan.Proven, plan.Bound = match.Narrowed, false, 0
	}
	return plan
}

// planHarmless plans, from plans that are known, if any are, and reaches for no
// network that does harm. It tells whether it would have.
func planHarmless(ctx context.Context, s *enumerate.Stock, p match.Problem, from ...[]network.Network) (plan match.Plan, harm bool, err error) {
	for ; ; harm = true {
		pl := objective.New(ctx, s, p)
		if plan, err = planOnce(pl, from); err != nil {
			return plan, harm, err
		}
		far := pl.Overreach(plan.Networks)
		if far < 0 {
			return plan, harm, nil
		}
		p.Needs = slices.Clone(p.Needs)
		p.Needs[far].Reach = false
		for k, nets := range from {
			from[k] = slices.Clone(nets)
			from[k][far] = network.Network{}
		}
	}
}

// planOnce plans, whatever is reached for.
func planOnce(pl *objective.Objective, from [][]network.Network) (match.Plan, error) {
	switch {
	case pl.Stock.Len() == 0:
		return pl.Seal(pl.Plan(alone(pl)), 0, match.Exact), nil
	case pl.Resolution > 0:
		return newJoint(pl).plan(from), nil
	}
	choose := func() (match.Plan, error) { return branch.Plan(pl, coupledSizes) }
	if pl.Separate() {
		choose = func() (match.Plan, error) { return assign.Plan(pl, listedFirst) }
	}
	plan, err := choose()
	if err == nil && (plan.End != match.Exact || len(from) > 0) {
		plan = polish(pl, plan, from)
	}
	return plan, err
}

// alone is all that can be done without parts: what is kept stays by itself, where
// it lies within its window or reaches beyond it.
func alone(pl *objective.Objective) []network.Network {
	nets := make([]network.Network, len(pl.Needs))
	for _, circuit := range pl.Circuits() {
		for _, i := range circuit {
			need := pl.Needs[i]
			if need.Reach && len(circuit) > 1 {
				need.Within = math.Inf(1)
			}
			if got := pl.Wanted.Nearest(pl.Context, need, 0, 1); len(got.Choices) > 0 {
				nets[i] = got.Choices[0].Network
			}
		}
	}
	return nets
}

// polish betters a plan that may not be the first, or others that are known, until
// no refit does.
func polish(pl *objective.Objective, plan match.Plan, from [][]network.Network) match.Plan {
	search := local.New(pl)
	if plan.End == match.Interrupted && len(from) == 0 { // it may be a poor one
		search.Run()
		search.Try(make([]network.Network, len(plan.Networks)))
	}
	for _, nets := range append(from, plan.Networks) {
		search.Try(nets)
	}
	search.Polish()
	out, proven := pl.Plan(search.Networks()), plan.Proven
	bound := plan.Bound
	if math.IsNaN(bound) || out.Key.Filled > plan.Key.Filled || out.Key.Whole > plan.Key.Whole {
		bound, proven = 0, false // that was about others
	}
	out = pl.Seal(out, bound, plan.End)
	out.Proven = proven
	return out
}

// Judge returns the plan that given networks make, one a position, the zero
// Network where it is open: what its ranges are worth, with nothing proven
// about other plans (End is Narrowed). The networks must be of this stock.
func Judge(s *enumerate.Stock, p match.Problem, nets []network.Network) (match.Plan, error) {
	if err := p.Validate(); err != nil {
		return match.Plan{}, fmt.Errorf("judge: %w", err)
	}
	if len(nets) != len(p.Needs) {
		return match.Plan{}, fmt.Errorf("judge: %d networks for %d positions", len(nets), len(p.Needs))
	}
	pl := objective.ToJudge(s, p)
	return pl.Seal(pl.Plan(slices.Clone(nets)), 0, match.Narrowed), nil
}

// Foresee estimates, faster than Plan answers, how many networks a plan will
// have to be chosen from: a sample of networks tells how many there may be in
// the windows. If that is too many, it finds a quick plan first; what is no
// worse lies in smaller windows. Positions that are separate need few, whatever
// there is: for them nothing is foreseen, nor where there is a resolution.
//
// An error means that the problem cannot be asked.
func Foresee(ctx context.Context, s *enumerate.Stock, p match.Problem) (branch.Foresight, error) {
	if err := p.Validate(); err != nil {
		return branch.Foresight{}, fmt.Errorf("foresee: %w", err)
	}
	if p.Resolution > 0 || s.Len() == 0 {
		return branch.Foresight{Held: mostHeld}, nil
	}
	return branch.Foresee(objective.New(ctx, s, p), coupledSizes)
}
