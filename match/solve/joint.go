package solve

import (
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/local"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// joint plans in an order with a resolution. A good plan comes from package local.
// Then each circuit is chosen alone, as if the parts were its own: all together
// that is a bound, and if no part is taken twice it is the plan. Else, and where a
// circuit alone is hard and there are few networks, all are chosen together among
// what the bounds leave.
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

// plan finds the plan, from those that are known, if any are, and says how far that
// is proven.
func (j *joint) plan(from [][]network.Network) match.Plan {
	if len(from) == 0 {
		j.search.Run()
	}
	for _, nets := range from {
		j.search.Try(nets)
	}
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
		if w := c.windows(); n.IsZero() && j.Fewest(i, w.lo[i], w.hi[i], w.fewest[i]) >= 0 {
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
	all := j.everything()
	return j.among(all, all.windows(), many)
}

// everything returns all slots and ranges, open or not, as one circuit.
func (j *joint) everything() *circuit {
	all := &circuit{Objective: j.Objective}
	for i := range j.Needs {
		all.slots = append(all.slots, i)
	}
	for r := range j.Ranges {
		all.ranges = append(all.ranges, r)
	}
	return all
}

// prove betters the best plan until nothing comes before it. It returns false if
// it ended before that.
func (j *joint) prove() bool {
	s := j.state()
	j.alone(s, glance)
	if slices.Contains(s.done, false) {
		if j.together(s, few) {
			return true
		}
		j.alone(s, math.MaxInt)
	}
	if !slices.Contains(s.done, false) && !s.clash() {
		j.search.Try(j.all(s))
		j.take()
		return true
	}
	if j.search.Try(j.all(s)) {
		j.take()
	}
	bound := j.atLeast(s, -1)
	return bound.Compare(&j.best) >= 0 || j.Context.Err() == nil && (j.Separate() && j.assign(j.caps(s)) || j.together(s, many))
}

// state returns one in which nothing is chosen as yet.
func (j *joint) state() *state {
	n := len(j.circuits)
	return &state{make([][]network.Network, n), make([]match.Key, n), make([]bool, n)}
}

// glance is how many steps each circuit is searched at first.
const glance = 4096

// alone chooses each circuit that is not done as if the others were not there, in so
// many steps.
func (j *joint) alone(s *state, limit int) {
	for k, c := range j.circuits {
		own := c.of(j.nets)
		for better := true; better && !s.done[k] && j.Context.Err() == nil; {
			var bar match.Key
			c.count(&bar, own)
			nets, complete := j.search.First(c.slots, &bar, limit)
			if s.done[k], better = complete, nets != nil; better {
				own = nets
			}
		}
		s.nets[k] = own
		if c.count(&s.keys[k], own); s.done[k] {
			j.low = max(j.low, worstAtLeast(j.Order(), &s.keys[k], len(c.ranges)))
		}
		j.report()
	}
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
