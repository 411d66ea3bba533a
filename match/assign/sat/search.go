package sat

import "context"

type truth int8

const (
	unknown truth = iota
	taken
	ruledOut
)

// literal says of an item that it is taken (2·item) or that it is not (2·item+1).
type literal int32

func take(item int32) literal       { return literal(2 * item) }
func leave(item int32) literal      { return literal(2*item + 1) }
func (l literal) item() int32       { return int32(l) >> 1 }
func (l literal) negative() bool    { return l&1 != 0 }
func (l literal) opposite() literal { return l ^ 1 }

// reason tells why a literal holds.
type reason struct {
	kind reasonKind
	of   int32 // item, resource, group, or length of the trail
	c    *clause
	by   *dual
}

type reasonKind int8

const (
	decided  reasonKind = iota
	byRival             // another item of the group is taken: of
	byRoom              // the items taken leave too little of resource of
	byNeed              // all other items of the group are ruled out
	byClause            // all other literals of the clause are false
	byPrice             // at the prices of by it costs too much beside what is ruled out in the first of the trail: of
)

// search is the state of one Find.
type search struct {
	ctx context.Context

	*items
	room []int32 // what the items taken leave

	value    []truth
	level    []int32
	place    []int32 // in the trail
	why      []reason
	trail    []literal
	limits   []int32 // length of the trail where each level began
	pick     []int32 // of each group, the item taken, or -1
	whole    int     // how many items are taken: one of every group, in the end
	done     int     // length of the trail that is propagated
	left     []int32 // items of each group not ruled out
	watches  [][]*clause
	learnt   []*clause
	memory   int // how many clauses are learnt before half of them are forgotten
	score    []float64
	bump     float64
	seen     []bool
	conflict []literal // all false

	relaxed               *relaxation
	duals                 []*dual
	failures              int     // in this question
	restarts, lastRestart int     // how many, and after how many failures the last was
	least                 []int64 // of each group, by the dual looked at last
}

// clause is a disjunction; the first two literals are watched.
type clause struct {
	literals []literal
	dead     bool // forgotten
}

// prepare lays out all that depends on the problem alone.
func (s *search) prepare(p Problem) {
	s.items, s.bump, s.memory = number(p), 1, 4000
	n := len(s.group)
	s.value, s.level, s.place = make([]truth, n), make([]int32, n), make([]int32, n)
	s.why, s.score, s.seen = make([]reason, n), make([]float64, n), make([]bool, n)
	s.watches = make([][]*clause, 2*n)
	s.left, s.room = make([]int32, len(s.groups)), make([]int32, len(p.Room))
	s.least, s.pick = make([]int64, len(s.groups)), make([]int32, len(s.groups))
	s.relaxed = newRelaxation(s.items)
}

// begin forgets the search before and rules out what is not allowed or does not
// fit.
func (s *search) begin(allowed [][]bool) {
	s.failures, s.restarts, s.lastRestart, s.done, s.whole = 0, 0, 0, 0, 0
	s.trail, s.limits, s.learnt = s.trail[:0], s.limits[:0], nil
	copy(s.room, s.full)
	clear(s.value)
	clear(s.watches)
	for g, items := range s.groups {
		s.left[g], s.pick[g] = int32(len(items)), -1
		for j, item := range items {
			if allowed != nil && !allowed[g][j] || !s.fits(item, s.full) {
				s.assign(leave(item), reason{})
			}
		}
	}
}

func (s *search) depth() int32 { return int32(len(s.limits)) }

// open draws the first conclusions. It returns false if there is no choice.
func (s *search) open() bool {
	for g := range s.groups {
		if !s.need(int32(g)) {
			return false
		}
	}
	return s.conclude()
}

// run searches until there is a choice, or proof that there is none, or the
// context ends.
func (s *search) run() (bool, error) {
	for {
		if err := s.ctx.Err(); err != nil {
			return false, err
		}
		if !s.conclude() || s.whole < len(s.groups) && !s.relax() {
			if s.failures++; !s.learn() {
				return false, nil
			}
			s.restart()
			continue
		}
		if s.whole == len(s.groups) {
			return true, nil
		}
		s.decide()
	}
}

// conclude draws all conclusions but those of the relaxation.
func (s *search) conclude() bool {
	for {
		if !s.propagate() {
			return false
		}
		if ok, changed := s.fix(); !ok || !changed {
			return ok
		}
	}
}

// picks returns what is taken, as indexes into the groups.
func (s *search) picks() []int {
	picks := make([]int, len(s.groups))
	for g, items := range s.groups {
		picks[g] = int(s.pick[g] - items[0])
	}
	return picks
}

func (s *search) isTrue(l literal) bool {
	v := s.value[l.item()]
	return v == taken && !l.negative() || v == ruledOut && l.negative()
}

func (s *search) isFalse(l literal) bool { return s.isTrue(l.opposite()) }

// assign makes an unknown literal true.
func (s *search) assign(l literal, why reason) {
	item := l.item()
	s.level[item], s.place[item], s.why[item] = s.depth(), int32(len(s.trail)), why
	s.trail = append(s.trail, l)
	if l.negative() {
		s.value[item] = ruledOut
		s.left[s.group[item]]--
		return
	}
	s.value[item] = taken
	if g := s.group[item]; s.pick[g] < 0 {
		s.pick[g] = item
	}
	s.whole++
	for _, u := range s.uses[item] {
		s.room[u.Resource] -= u.Units
	}
}

// back undoes all above a level.
func (s *search) back(level int32) {
	if s.depth() <= level {
		return
	}
	keep := s.limits[level]
	for _, l := range s.trail[keep:] {
		item := l.item()
		if l.negative() {
			s.left[s.group[item]]++
		} else {
			s.whole--
			if g := s.group[item]; s.pick[g] == item {
				s.pick[g] = -1
			}
			for _, u := range s.uses[item] {
				s.room[u.Resource] += u.Units
			}
		}
		s.value[item] = unknown
	}
	s.trail, s.limits = s.trail[:keep], s.limits[:level]
	s.done = min(s.done, int(keep))
}
