package coupled

import (
	"context"

	"shuntwright/match/coupled/goal"
	"shuntwright/match/coupled/plan"
	"shuntwright/match/coupled/scarce"
	"shuntwright/match/coupled/search"
)

// solver settles the order of one problem stage by stage.
type solver struct {
	*plan.Record
	p        Problem
	cases    []goal.Scenario
	lists    [][]int32 // for each slot the candidates that still count
	minimal  [][]int32 // those that count where only filling does
	base     float64   // no plan has a smaller worst error, as far as limits alone prove that; 0 where they do not count
	exact    bool
	complete bool // whether the last question was looked at to the end
	search   *search.Search
	packing  *scarce.Packing
}

func newSolver(ctx context.Context, p Problem) *solver {
	g := plan.New(ctx, plan.Spec{Parts: p.Parts, Lists: p.lists(), Ranges: p.Ranges, Response: p.Response, Limits: p.Limits})
	s := &solver{Record: &plan.Record{Gauge: g, Budget: p.Budget, Gap: p.Gap}, p: p}
	if p.Step != nil {
		s.Tell = func() { p.Step(Progress{Filled: s.Filled(), Worst: s.Worst(), Bound: s.Bound(), Work: s.Work}) }
	}
	s.search = search.New(s.Record)
	return s
}

// lists returns the candidates of each slot.
func (p Problem) lists() [][]Candidate {
	lists := make([][]Candidate, len(p.Slots))
	for i, slot := range p.Slots {
		lists[i] = slot.Candidates
	}
	return lists
}
