package coupled

import (
	"context"
	"fmt"
	"math"
	"shuntwright/match/coupled/candidate"
	"shuntwright/match/coupled/goal"
	"slices"
)

// solver is what all searches of one problem share.
type solver struct {
	ctx      context.Context
	p        Problem
	single   Single // nil: the response gives all errors or none
	tables   []candidate.Table
	links    links
	cases    []goal.Scenario
	lists    [][]int32 // for each slot the candidates that still count
	minimal  [][]int32 // those that count where only filling does
	best     *plan
	low      float64 // proven: no plan has a smaller worst error
	base     float64 // as far as limits alone prove that; 0 where they do not count
	proven   bool
	exact    bool
	good     bool // the best plan is good enough
	complete bool // whether the last question was looked at to the end
	err      error
	work     int
	ticks    int
	ended    bool      // the context has ended or the response has failed
	x, dst   []float64 // one evaluation
	dfs      *dfs
	packing  *packing
}

func newSolver(ctx context.Context, p Problem) *solver {
	s := &solver{ctx: ctx, p: p, tables: make([]candidate.Table, len(p.Slots)), dst: make([]float64, p.Ranges), x: make([]float64, len(p.Slots))}
	s.single, _ = p.Response.(Single)
	traits, _ := p.traits()
	for i, slot := range p.Slots {
		s.tables[i] = candidate.NewTable(slot.Candidates, int32(p.Parts), traits)
		s.x[i] = 1
		if len(slot.Candidates) > 0 {
			s.x[i] = slot.Candidates[0].Value
		}
	}
	s.links = newLinks(p)
	s.dfs = newDFS(s)
	return s
}

// eval returns the error of range r at s.x.
func (s *solver) eval(r int32) float64 {
	if s.single == nil {
		s.evalAll()
		return s.dst[r]
	}
	s.work++
	s.tick()
	return s.single.ErrorOf(int(r), s.x)
}

// evalAll puts the errors of all ranges at s.x into s.dst.
func (s *solver) evalAll() {
	s.work++
	s.tick()
	s.p.Response.Errors(s.dst, s.x)
}

// tick looks at the context now and then; it is called in every innermost loop.
func (s *solver) tick() {
	s.ticks++
	if s.ticks&127 == 0 && s.ctx.Err() != nil {
		s.ended = true
	}
}

// over tells whether to end at once.
func (s *solver) over() bool {
	s.ended = s.ended || s.ctx.Err() != nil
	return s.ended
}

// measure looks at a choice as a whole. It returns nil if the response fails.
func (s *solver) measure(chosen []int32, sc *goal.Scenario) *plan {
	p := &plan{chosen: slices.Clone(chosen), errors: make([]float64, s.p.Ranges)}
	for i, c := range chosen {
		if c >= 0 {
			s.x[i] = s.tables[i].Values[c]
			p.parts += int(s.tables[i].Sizes[c])
		}
	}
	if s.p.Ranges > 0 {
		s.work++
		s.p.Response.Errors(p.errors, s.x)
	}
	for r, e := range p.errors {
		if !sc.Whole[r] {
			p.errors[r] = math.NaN()
			continue
		}
		if math.IsNaN(e) || math.IsInf(e, 0) {
			s.err = fmt.Errorf("coupled: the response gives %v %% for range %d at %v; want a finite error", e, r, s.x)
			s.ended = true
			return nil
		}
		p.costs = append(p.costs, math.Abs(e))
	}
	if !s.addLimits(p) {
		return nil
	}
	slices.SortFunc(p.costs, func(a, b float64) int {
		if a > b {
			return -1
		}
		if a < b {
			return 1
		}
		return 0
	})
	return p
}

// better returns the level of a cost below which one counts as smaller.
func (s *solver) better(cost float64) float64 { return goal.Better(cost, s.p.Limits != nil) }

func (s *solver) improve(p *plan) {
	s.best = p
	s.report()
}

func (s *solver) raise(low float64) {
	if low > s.low {
		s.low = low
		s.report()
	}
}

func (s *solver) report() {
	if s.p.Step == nil {
		return
	}
	a := s.answer()
	s.p.Step(Progress{Filled: a.Filled, Worst: a.Worst, Bound: a.Bound, Work: s.work})
}
