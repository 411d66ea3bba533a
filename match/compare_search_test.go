package match_test

import (
	"cmp"
	"context"
	"slices"
	"testing"
	"time"

	"shuntwright/match/coupled"
	"shuntwright/match/disjoint"
)

// search measures the search alone, until the worst error is proven: with the
// same candidates as the solvers, listed and reduced beforehand.
func (c contest) search(t *testing.T) (r result, worst float64) {
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
	return result{taken: time.Since(start), proven: bound >= worst}, worst
}

// told is told of every step: how many positions are filled, the worst error
// and what it is at least.
type told func(filled int, worst, bound float64)

func (c contest) searchSeparate(ctx context.Context, step told) (worst, bound float64, err error) {
	p := disjoint.Problem{Parts: c.stock.Len(), Step: func(s disjoint.Progress) { step(s.Filled, s.Worst, s.Bound) }}
	for _, list := range c.lists {
		candidates := make([]disjoint.Candidate, len(list))
		for k, x := range list {
			candidates[k] = disjoint.Candidate{Parts: x.parts, Cost: x.cost}
		}
		p.Positions = append(p.Positions, candidates)
	}
	a, err := disjoint.Solve(ctx, p)
	return a.Worst, a.Bound, err
}

func (c contest) searchCoupled(ctx context.Context, step told) (worst, bound float64, err error) {
	p := coupled.Problem{Parts: c.stock.Len(), Ranges: c.problem.Ranges, Response: c.problem.Response, Budget: coupled.DefaultBudget,
		Step: func(s coupled.Progress) { step(s.Filled, s.Worst, s.Bound) }}
	for _, list := range c.lists {
		slot := coupled.Slot{Candidates: make([]coupled.Candidate, len(list))}
		for k, x := range list {
			slot.Candidates[k] = coupled.Candidate{Parts: x.parts, Value: x.value}
		}
		slices.SortFunc(slot.Candidates, func(a, b coupled.Candidate) int {
			return cmp.Or(cmp.Compare(a.Value, b.Value), slices.Compare(a.Parts, b.Parts))
		})
		p.Slots = append(p.Slots, slot)
	}
	a, err := coupled.Solve(ctx, p)
	return a.Worst, a.Bound, err
}
