package solve_test

import (
	"cmp"
	"context"
	"slices"
	"testing"
	"time"

	"shuntwright/match"
	"shuntwright/match/assign"
	"shuntwright/match/branch"
)

// search measures the search alone, until the worst error is proven: with the
// same candidates as the solvers, listed and reduced beforehand.
func (c contest) search(t *testing.T) result {
	ctx, cancel := context.WithTimeout(t.Context(), c.limit)
	defer cancel()
	proven := func(filled int, least, bound float64) {
		if filled == len(c.lists) && bound >= least {
			cancel()
		}
	}
	ask := c.searchSeparate
	if c.coupled {
		ask = c.searchCoupled
	}
	start := time.Now()
	worst, bound, err := ask(ctx, proven)
	if err != nil {
		t.Fatal(err)
	}
	return result{taken: time.Since(start), proven: bound >= worst, percent: worst}
}

// told is told of every step: how many positions are filled, the worst error
// and what it is at least.
type told func(filled int, worst, bound float64)

func (c contest) searchSeparate(ctx context.Context, step told) (worst, bound float64, err error) {
	p := assign.Problem{Parts: c.stock.Len(), Step: func(s assign.Progress) { step(s.Filled, s.Worst, s.Bound) }}
	for _, list := range c.lists {
		candidates := make([]assign.Candidate, len(list))
		for k, x := range list {
			candidates[k] = assign.Candidate{Parts: x.parts, Cost: x.cost}
		}
		p.Positions = append(p.Positions, candidates)
	}
	a, err := assign.Solve(ctx, p)
	return a.Worst, a.Bound, err
}

func (c contest) searchCoupled(ctx context.Context, step told) (worst, bound float64, err error) {
	p := branch.Problem{Parts: c.stock.Len(), Ranges: c.problem.Ranges, Response: c.problem.Response, Budget: branch.DefaultBudget,
		Step: func(s match.Progress) { step(s.Filled, s.Worst, s.Bound) }}
	for _, list := range c.lists {
		slot := make([]branch.Candidate, len(list))
		for k, x := range list {
			slot[k] = branch.Candidate{Parts: x.parts, Value: x.value}
		}
		slices.SortFunc(slot, func(a, b branch.Candidate) int {
			return cmp.Or(cmp.Compare(a.Value, b.Value), slices.Compare(a.Parts, b.Parts))
		})
		p.Slots = append(p.Slots, slot)
	}
	a, err := branch.Solve(ctx, p)
	return a.Worst, a.Bound, err
}
