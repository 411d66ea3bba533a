package solve

import (
	"context"
	"slices"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// The shares of the time left that a search may take before fewer parts a position
// are asked about, and that these may take.
const (
	forFirst = 0.15
	forFewer = 0.85
)

// planWithFewer plans, and where that is not proven or fewer parts a position had
// more to choose from, goes on from the plan of one part fewer: whoever allows more
// parts gets no plan that comes later.
//
// It tells whether a network that would have done harm was left out.
func planWithFewer(ctx context.Context, s *enumerate.Stock, p match.Problem) (plan match.Plan, harm bool, err error) {
	most := 0
	for _, n := range p.Needs {
		most = max(most, n.AtMost)
	}
	if most <= 1 {
		return planHarmless(ctx, s, p)
	}
	first, stop := p.ShareOf(ctx, forFirst)
	plan, harm, err = planHarmless(first, s, p)
	if stop(); err != nil || plan.End == match.Exact && !harm && !narrows(s, p, most) {
		return plan, harm, err
	}
	if plan, err = filledWithoutLimits(ctx, s, p, plan); err != nil {
		return plan, harm, err
	}
	share, stop := p.ShareOf(ctx, forFewer)
	fewer, less, err := planWithFewer(share, s, upTo(p, most-1))
	if stop(); err != nil {
		return fewer, less, err
	}
	last, more, err := goOn(ctx, s, p, plan, fewer)
	harm = harm || less || more
	if err != nil || last.Key.Compare(&fewer.Key) <= 0 {
		return last, harm, err
	}
	out, err := Judge(s, p, fewer.Networks) // what it was bettered to does harm
	if last.End == match.Interrupted {
		out.End = last.End
	}
	return out, harm, err
}

// filledWithoutLimits returns a plan, or where limits count and it leaves slots open
// the one that is found without limits, if that fills more: how many slots can be
// filled is the same question, and limits make it a slow one.
func filledWithoutLimits(ctx context.Context, s *enumerate.Stock, p match.Problem, plan match.Plan) (match.Plan, error) {
	if p.Limit == nil || plan.End != match.Interrupted || plan.Key.Filled == len(p.Needs) {
		return plan, nil
	}
	share, stop := p.ShareOf(ctx, forFewer)
	defer stop()
	without := p
	without.Limit, without.LimitFloor, without.Progress = nil, nil, nil
	filled, _, err := planHarmless(share, s, without)
	if err != nil || filled.Key.Filled <= plan.Key.Filled {
		return plan, err
	}
	more, err := Judge(s, p, filled.Networks)
	more.End = plan.End
	return more, err
}

// goOn goes on from two plans: with the search, or where that had ended by itself
// with no more than what betters them.
func goOn(ctx context.Context, s *enumerate.Stock, p match.Problem, plan, fewer match.Plan) (match.Plan, bool, error) {
	if plan.End == match.WorstProven || plan.End == match.Narrowed {
		pl := objective.New(ctx, s, p)
		if last := polish(pl, plan, [][]network.Network{fewer.Networks}); pl.Overreach(last.Networks) < 0 {
			return last, false, nil
		}
		return plan, true, nil
	}
	return planHarmless(ctx, s, p, plan.Networks, fewer.Networks)
}

// upTo is a problem with no more parts a position.
func upTo(p match.Problem, parts int) match.Problem {
	p.Needs = slices.Clone(p.Needs)
	for i := range p.Needs {
		p.Needs[i].AtMost = min(p.Needs[i].AtMost, parts)
	}
	return p
}

// narrows reports whether with fewer parts some slot reaches further, since there
// is no network near.
func narrows(s *enumerate.Stock, p match.Problem, most int) bool {
	if !slices.ContainsFunc(p.Needs, func(n match.Need) bool { return n.Reach }) {
		return false
	}
	all := objective.New(context.Background(), s, p).Needs
	for parts := 1; parts < most; parts++ {
		for i, n := range objective.New(context.Background(), s, upTo(p, parts)).Needs {
			if n.Within > all[i].Within {
				return true
			}
		}
	}
	return false
}
