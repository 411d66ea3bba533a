package assign

import (
	"context"
	"slices"

	"shuntwright/match/assign/sat"
)

// search is the state of one Solve.
type search struct {
	ctx context.Context
	p   Problem
	rules
	best    choice // keeps all rules
	low     float64
	least   int // points, proven
	solver  *standing
	pointed bool // some candidates have points
	proven  bool
	exact   bool
}

func newSearch(ctx context.Context, p Problem) *search {
	s := &search{ctx: ctx, p: p}
	var options [][]option
	options, s.best = start(ctx, p)
	s.rules = free(options)
	s.opens -= s.best.filled()
	for _, list := range s.options {
		s.pointed = s.pointed || slices.ContainsFunc(list, func(o option) bool { return o.points > 0 })
	}
	if !s.pointed {
		s.low = s.floor(0)
	}
	return s
}

// run settles one thing after another until all is settled or the context ends.
func (s *search) run() {
	steps := []func() error{s.fill}
	if s.pointed {
		steps = append(steps, s.settlePoints)
	}
	steps = append(steps, s.rankInside)
	if s.pointed {
		steps = append(steps, s.rankOutside)
	}
	if steps = append(steps, s.fewest); !s.p.Loose {
		if s.pointed || s.p.Enough > 0 {
			steps = append(steps, s.rankAll)
		}
		steps = append(steps, s.first)
	}
	for _, step := range steps {
		if step() != nil {
			return
		}
	}
	s.exact = true
}

// floor is a lower bound of the (k+1)-th largest cost among the positions that
// are filled and not carried: but for those that stay open and k more, they pay
// their cheapest option at least.
func (s *search) floor(k int) float64 {
	var least []float64
	for i, list := range s.options {
		if !s.carried[i] {
			least = append(least, list[0].cost)
		}
	}
	at := len(least) - 1 - k - s.opens
	if at < 0 {
		return 0
	}
	slices.Sort(least)
	return least[at]
}

// ask tells whether a choice keeps the rules r; if so it is the new best.
func (s *search) ask(r rules) (yes bool, err error) {
	if err := s.ctx.Err(); err != nil {
		return false, err
	}
	found, err := s.find(r)
	if err != nil {
		return false, err
	}
	if found != nil {
		s.best = found
	}
	if s.p.Step != nil {
		s.p.Step(Progress{s.best.filled(), s.best.worst(), s.bound(), s.best.indexes()})
	}
	return found != nil, nil
}

// find returns a choice that keeps the rules r, or nil if there is none. It tries
// what costs least first. Without the repair of what the relaxation comes to
// there are 1.5 times as many relaxations.
func (s *search) find(r rules) (choice, error) {
	for i := range r.options {
		if len(r.within(i)) == 0 {
			return nil, nil
		}
	}
	s.stand(r)
	if !s.solver.Start(s.ctx, s.solver.allowed(r)) {
		return nil, nil
	}
	if c := repair(s.best, r, s.p.Parts, effort); c != nil {
		return c, nil
	}
	rounded := s.solver.Round()
	if rounded == nil {
		return nil, nil
	}
	if c := repair(s.solver.choice(rounded), r, s.p.Parts, effort); c != nil {
		return c, nil
	}
	picks, err := s.solver.Search()
	return s.solver.choice(picks), err
}

// standing is a solver that is used for more than one question. With a new one
// for each, published instances take 3 times as long.
type standing struct {
	*sat.Solver
	rules rules
	from  [][]option // beside the groups of the solver
}

// stand sees to a solver for rules like r that knows all options that may still
// be asked about.
func (s *search) stand(r rules) {
	r.options, r.carried = s.options, s.carried
	r.limits = slices.Clone(r.limits)
	r.limits[0] = s.limits[0]
	if s.solver == nil || !s.solver.rules.alike(r) {
		q, from := r.question(s.p.Parts)
		s.solver = &standing{sat.New(q), r, from}
	}
}

// allowed says which of the solver's options the rules leave.
func (s *standing) allowed(r rules) [][]bool {
	allowed := make([][]bool, len(r.options))
	for i := range r.options {
		allowed[i] = make([]bool, len(s.from[i]))
		j := 0
		for _, o := range r.within(i) {
			for s.from[i][j].index != o.index {
				j++
			}
			allowed[i][j] = true
		}
	}
	return allowed
}

// choice is that of the picks, -1: open; nil if there are none.
func (s *standing) choice(picks []int) choice {
	var c choice
	for i, j := range picks {
		o := open
		if j >= 0 {
			o = s.from[i][j]
		}
		c = append(c, o)
	}
	return c
}
