package branch

import (
	"context"

	"shuntwright/match/branch/node"
	"shuntwright/match/branch/search"
)

// solver settles the order of one problem stage by stage.
type solver struct {
	*node.Record
	p        Problem
	cases    []node.Scenario
	lists    [][]int32 // for each slot the candidates that still count
	minimal  [][]int32 // those that count where only filling does
	base     float64   // no plan has a smaller worst error, as far as limits alone prove that; 0 where they do not count
	exact    bool
	found    bool
	complete bool // whether the last question was looked at to the end
	search   *search.Search
	packing  *search.Packing
}

func newSolver(ctx context.Context, p Problem) *solver {
	g := node.NewGauge(ctx, node.Spec{Parts: p.Parts, Lists: p.lists(), Ranges: p.Ranges, Response: p.Response, Limits: p.Limits})
	s := &solver{Record: &node.Record{Gauge: g, Budget: p.Budget, Gap: p.Gap}, p: p}
	if p.Step != nil {
		s.Tell = func() { p.Step(Progress{Filled: s.Filled(), Worst: s.Worst(), Bound: s.Bound(), Work: s.Work}) }
	}
	s.search = search.New(s.Record)
	return s
}

// lists returns the candidates of each slot.
func (p Problem) lists() [][]node.Candidate {
	lists := make([][]node.Candidate, len(p.Slots))
	for i, slot := range p.Slots {
		lists[i] = slot.Candidates
	}
	return lists
}
