package disjoint

import (
	"context"
	"math"
	"slices"

	"shuntwright/match/disjoint/pack"
)

// search is the state of one Solve.
type search struct {
	ctx context.Context
	p   Problem
	rules
	solver    *standing
	best      choice // keeps all rules
	low       float64
	questions int
	ranked    int
	proven    bool
	exact     bool
}

// rules are what a choice must keep to be as good as the best so far, in all that has been settled.
type rules struct {
	options [][]option // what each position may take, by cost
	carried []bool     // positions whose cost is settled: limits do not look at them
	limits  []float64  // limits[k]: at most k positions that are not carried cost more than this
	parts   int        // at most so many parts together
}

// newSearch takes a greedy first choice and cuts the lists down to what can still better it.
func newSearch(ctx context.Context, p Problem) *search {
	s := &search{ctx: ctx, p: p}
	n := len(p.Positions)
	s.options = make([][]option, n)
	s.carried = make([]bool, n)
	s.limits = make([]float64, n+1)
	for k := range s.limits {
		s.limits[k] = math.Inf(1)
	}
	s.parts = math.MaxInt
	for i, list := range p.Positions {
		s.options[i] = make([]option, 0, len(list)+1)
		for j, c := range list {
			s.options[i] = append(s.options[i], option{parts: c.Parts, cost: c.Cost, index: int32(j)})
		}
		s.options[i] = append(thin(s.options[i]), open)
	}
	s.best = greedy(p.Parts, s.options)
	s.low = s.floor(n - s.best.filled())
	return s
}

// run settles one thing after another until all is settled or the context ends.
func (s *search) run() {
	steps := []func() error{s.fill, s.rank, s.fewest, s.first}
	if s.p.Enough > 0 {
		steps = []func() error{s.fill, s.enough, s.rank, s.fewest, s.first}
	}
	for _, step := range steps {
		if step() != nil {
			return
		}
	}
	s.exact = true
}

// floor is a lower bound of the (k+1)-th largest cost among the positions that are not carried: no more than k of them can be
// spared from paying their cheapest option.
func (s *search) floor(k int) float64 {
	var least []float64
	for i, list := range s.options {
		if !s.carried[i] {
			least = append(least, cheapest(list))
		}
	}
	if k >= len(least) {
		return 0
	}
	slices.Sort(least)
	return least[len(least)-1-k]
}

// ask tells whether a choice keeps the rules r; if so it is the new best.
func (s *search) ask(r rules) (bool, error) {
	picks, err := s.find(r)
	if err != nil {
		return false, err
	}
	s.questions++
	if picks != nil {
		s.best = picks
	}
	if s.p.Step != nil {
		s.p.Step(Progress{Questions: s.questions, Filled: s.best.filled(), Worst: s.best.worst(), Bound: s.bound(), Ranked: s.ranked})
	}
	return picks != nil, nil
}

// find returns a choice that keeps the rules r, or nil. Rules that count get a solver of their own; for the others the one before
// serves as long as a fair part of its options is still looked at.
func (s *search) find(r rules) (choice, error) {
	if !r.plain() {
		q, from := r.question(s.p.Parts)
		picks, err := pack.New(q).Find(s.ctx, nil)
		return from.choice(picks), err
	}
	s.stand()
	picks, err := s.solver.Find(s.ctx, s.solver.allowed(r))
	return s.solver.from.choice(picks), err
}

// plain tells whether the rules name the options alone and count nothing.
func (r rules) plain() bool {
	return r.parts == math.MaxInt && !slices.ContainsFunc(r.limits[1:], func(above float64) bool { return above < r.limits[0] })
}

// origin tells which option each item of a question is.
type origin [][]option

func (from origin) choice(picks []int) choice {
	if picks == nil {
		return nil
	}
	c := make(choice, len(picks))
	for i, j := range picks {
		c[i] = from[i][j]
	}
	return c
}

// standing is a solver that is used for more than one question.
type standing struct {
	*pack.Solver
	from    origin
	options int
}

// stand sees to a solver that knows all options that can still better the best choice, and not many more.
func (s *search) stand() {
	r := s.limited(0, s.best.worstOf(s.carried)+Equal) // what is equal to it may come back
	now := 0
	for i, list := range r.options {
		now += len(r.within(i, list))
	}
	if s.solver == nil || now < s.solver.options/2 {
		q, from := r.question(s.p.Parts)
		s.solver = &standing{pack.New(q), from, now}
	}
}

// within cuts a list of options of position i, sorted by cost, where they exceed the limit for all.
func (r rules) within(i int, list []option) []option {
	if r.carried[i] {
		return list
	}
	n, _ := slices.BinarySearchFunc(list, r.limits[0], func(o option, limit float64) int {
		if o.cost > limit {
			return 1
		}
		return -1
	})
	return list[:n]
}

// allowed says which of the solver's options the rules leave.
func (s *standing) allowed(r rules) [][]bool {
	allowed := make([][]bool, len(r.options))
	for i, list := range r.options {
		allowed[i] = make([]bool, len(s.from[i]))
		j := 0
		for _, o := range r.within(i, list) {
			for s.from[i][j].index != o.index {
				j++
			}
			allowed[i][j] = true
		}
	}
	return allowed
}

// question puts the rules as a packing problem: parts, limits and the number of parts are resources. from tells which option
// each item is.
func (r rules) question(parts int) (q pack.Problem, from origin) {
	q.Room = make([]int32, parts, parts+len(r.limits)+1)
	for i := range q.Room {
		q.Room[i] = 1
	}
	type counter struct {
		resource int32
		above    float64
	}
	var counters []counter
	least := r.limits[0]
	for k, above := range r.limits[1:] {
		if above < least { // otherwise the limit before it says more
			least = above
			counters = append(counters, counter{int32(len(q.Room)), above})
			q.Room = append(q.Room, int32(k+1))
		}
	}
	total := int32(-1)
	if r.parts < math.MaxInt {
		total = int32(len(q.Room))
		q.Room = append(q.Room, int32(r.parts))
	}
	for i, list := range r.options {
		var group []pack.Item
		var back []option
		for _, o := range r.within(i, list) {
			item := make(pack.Item, len(o.parts), 2*len(o.parts)+len(counters))
			copy(item, o.parts)
			for _, c := range counters {
				if !r.carried[i] && o.cost > c.above {
					item = append(item, c.resource)
				}
			}
			for range o.parts {
				if total >= 0 {
					item = append(item, total)
				}
			}
			group, back = append(group, item), append(back, o)
		}
		q.Groups, from = append(q.Groups, group), append(from, back)
	}
	return q, from
}
