package solve

import (
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/branch/node"
	"shuntwright/match/local"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// joint plans in an order with a resolution. A good plan comes from package local.
// Then each circuit is chosen alone, as if the parts were its own: all together
// that is a bound, and if no part is taken twice it is the plan. Else the circuits
// that take a part are given it in turn, the others doing without, and are chosen
// again: best bound first, until one takes no part twice or what is left comes no
// earlier than the best plan.
type joint struct {
	*objective.Objective
	search   *local.Search
	circuits []*circuit
	base     match.Key         // of the ranges that depend on no slot
	best     match.Key         // of the best plan
	nets     []network.Network // of the best plan
	low      float64           // percent, proven: no plan has a smaller worst cost
}

func newJoint(o *objective.Objective) *joint { return &joint{Objective: o, search: local.New(o)} }

// plan finds the plan and says how far that is proven.
func (j *joint) plan() match.Plan {
	j.search.Run()
	j.take()
	end := match.Interrupted
	if j.Context.Err() == nil {
		j.split()
		prove := j.prove
		if !j.fillsAll() {
			prove = j.fill
		}
		proven := prove()
		if end = j.Early(); proven {
			end = match.Exact
		}
		j.search.Try(j.nets)
	}
	j.search.Polish()
	out := j.Plan(j.search.Networks())
	if end == match.Exact {
		j.low = out.Worst
	}
	return j.Seal(out, j.low, end)
}

// take makes the plan of the local search the best one.
func (j *joint) take() {
	j.nets, j.best = j.search.Networks(), j.search.Key()
	j.report()
}

func (j *joint) report() {
	if j.Progress == nil {
		return
	}
	p := match.Progress{Filled: j.best.Filled, Worst: math.NaN(), Bound: j.low}
	if len(j.best.Costs) > 0 {
		p.Worst = j.best.Costs[0]
	}
	p.Key.Copy(&j.best)
	j.Progress(p)
}

// split makes the circuits from what the best plan fills and makes whole, the
// small ones first.
func (j *joint) split() {
	whole := func(r int) bool {
		return !slices.ContainsFunc(j.SlotsOf[r], func(i int) bool { return j.nets[i].IsZero() })
	}
	for _, all := range j.Circuits() {
		c := &circuit{Objective: j.Objective, slots: slices.DeleteFunc(all, func(i int) bool { return j.nets[i].IsZero() })}
		for r, slots := range j.SlotsOf {
			if len(slots) > 0 && slices.Contains(c.slots, slots[0]) && whole(r) {
				c.ranges = append(c.ranges, r)
			}
		}
		if len(c.slots) > 0 {
			j.circuits = append(j.circuits, c)
		}
	}
	slices.SortStableFunc(j.circuits, func(a, b *circuit) int { return len(a.slots) - len(b.slots) })
	rest := &circuit{Objective: j.Objective}
	for r, slots := range j.SlotsOf {
		if len(slots) == 0 {
			rest.ranges = append(rest.ranges, r)
		}
	}
	rest.count(&j.base, nil)
}

// fillsAll reports whether the best plan fills all slots for which there is any
// network.
func (j *joint) fillsAll() bool {
	c := &circuit{Objective: j.Objective}
	for i, n := range j.nets {
		if w := c.windows(); n.IsZero() && c.fewest(i, w.lo[i], w.hi[i], w.fewest[i]) >= 0 {
			return false
		}
	}
	return true
}

// fill is prove where slots are open for which there are networks.
func (j *joint) fill() bool {
	if j.Separate() && j.assign(j.unlimited()) {
		return true
	}
	c := &circuit{Objective: j.Objective}
	for i := range j.Needs {
		c.slots = append(c.slots, i)
	}
	for r, slots := range j.SlotsOf {
		if len(slots) > 0 {
			c.ranges = append(c.ranges, r)
		}
	}
	bar := node.Bar{Order: j.Order()}
	c.count(&bar.Key, j.nets)
	a := c.fill(bar)
	if a.nets != nil {
		j.nets = a.nets
	}
	return a.complete
}

// prove betters the best plan until nothing comes before it. It returns false if
// it ended before that.
func (j *joint) prove() bool {
	root, complete := j.alone()
	if !complete {
		return false
	}
	if _, takers := root.clash(); j.Separate() && takers != nil && j.assign(j.caps(root)) {
		return true
	} else if j.Context.Err() != nil {
		return false
	}
	for open := []*state{root}; len(open) > 0; {
		s := open[0]
		if s.key.Compare(&j.best) >= 0 {
			return true // and so are all others
		}
		if j.Context.Err() != nil {
			return false
		}
		part, takers := s.clash()
		if takers == nil {
			j.found(s)
			return true
		}
		j.repair(s)
		open = open[1:]
		for _, taker := range takers {
			child, complete := j.give(s, part, taker)
			if !complete {
				return false
			}
			if child != nil {
				open = insert(open, child)
			}
		}
	}
	return true
}

// glance is how many steps a search takes before what it is to better is shaken.
const glance = 4096

// alone chooses each circuit as if the others were not there. It returns false if
// not all could be chosen to the end.
func (j *joint) alone() (*state, bool) {
	s, all := &state{}, true
	for _, c := range j.circuits {
		own, a := c.of(j.nets), answer{}
		for limit := glance; !a.complete && j.Context.Err() == nil; limit = math.MaxInt {
			bar := node.Bar{Order: j.Order()}
			c.count(&bar.Key, own)
			if a = j.before(c, bar, nil, limit); a.nets != nil {
				own = a.nets
			} else if !a.complete && limit == glance {
				j.search.Shake(c.slots)
				j.take()
				own = c.of(j.nets)
			} else if limit == math.MaxInt {
				break
			}
		}
		var key match.Key
		c.count(&key, own)
		s.nets, s.banned, s.keys = append(s.nets, own), append(s.banned, nil), append(s.keys, key)
		if a.complete {
			j.low = max(j.low, worstAtLeast(j.Order(), &key, len(c.ranges)))
		}
		all = all && a.complete
		j.report()
	}
	j.sum(&s.key, s, -1)
	if !all {
		j.repair(s)
	}
	return s, all
}

// before looks for the first plan of a circuit that comes before a bar.
func (j *joint) before(c *circuit, bar node.Bar, banned []int, limit int) answer {
	nets, complete := j.search.First(c.slots, &bar.Key, &bar.Others, banned, limit)
	return answer{nets, complete}
}

// worstAtLeast returns what the worst of some ranges costs at least where no plan
// of them comes before a key.
func worstAtLeast(o match.Order, k *match.Key, ranges int) float64 {
	switch {
	case k.Points > 0: // shared by all as evenly as can be
		return math.Ldexp(o.Class, (k.Points+ranges-1)/ranges-1)
	case len(k.Within) > 0:
		return k.Within[0] * o.Resolution
	}
	return 0
}

// sum puts the key of all circuits but one into k.
func (j *joint) sum(k *match.Key, s *state, but int) {
	k.Copy(&j.base)
	for i := range s.keys {
		if i != but {
			k.Merge(&s.keys[i])
		}
	}
}

// give lets only one of the circuits that take a part have it, and chooses the
// others again. It returns nil if nothing comes before the best plan then, and false
// if that is not known.
func (j *joint) give(s *state, part, taker int) (*state, bool) {
	child := &state{nets: slices.Clone(s.nets), keys: slices.Clone(s.keys), banned: slices.Clone(s.banned)}
	for i, c := range j.circuits {
		if i == taker || !takes(s.nets[i], part) {
			continue
		}
		child.banned[i] = append(slices.Clone(s.banned[i]), part)
		bar := node.Bar{Order: j.Order()}
		bar.Key.Copy(&j.best)
		j.sum(&bar.Others, child, i)
		a := j.before(c, bar, child.banned[i], math.MaxInt)
		if a.nets == nil || !a.complete {
			return nil, a.complete
		}
		child.nets[i], child.keys[i] = a.nets, match.Key{}
		c.count(&child.keys[i], a.nets)
	}
	j.sum(&child.key, child, -1)
	return child, true
}

// found makes a state that takes no part twice the best plan.
func (j *joint) found(s *state) {
	j.best.Copy(&s.key)
	j.nets = j.all(s)
	j.report()
}

// all returns the networks of a state by slot.
func (j *joint) all(s *state) []network.Network {
	nets := make([]network.Network, len(j.Needs))
	for i, c := range j.circuits {
		for k, slot := range c.slots {
			nets[slot] = s.nets[i][k]
		}
	}
	return nets
}

// repair makes a plan of a state, and keeps it if it is the best one.
func (j *joint) repair(s *state) {
	if j.search.Try(j.all(s)) {
		j.take()
	}
}
