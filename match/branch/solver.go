package branch

import (
	"context"

	"shuntwright/match"
)

// solver settles the order of one problem stage by stage.
type solver struct {
	*record
	p        Problem
	cases    []scenario
	lists    [][]int32 // for each slot the candidates that still count
	minimal  [][]int32 // those that count where only filling does
	base     float64   // no plan has a smaller worst error, as far as limits alone prove that; 0 where they do not count
	exact    bool
	found    bool
	complete bool // whether the last question was looked at to the end
	search   *search
	packing  *packing
}

func newSolver(ctx context.Context, p Problem) *solver {
	g := newGauge(ctx, p)
	s := &solver{record: &record{gauge: g, budget: p.Budget, gap: p.Gap}, p: p}
	if p.Step != nil {
		s.tell = func() { p.Step(match.Progress{Filled: s.filled(), Worst: s.worst(), Bound: s.bound()}) }
	}
	s.search = newSearch(s.record)
	return s
}
