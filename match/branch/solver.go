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
