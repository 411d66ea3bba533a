package solve

import (
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/assign"
	"shuntwright/match/network"
)

// few and many are how many networks are listed at most for all slots together:
// where a circuit alone is hard, and where nothing else is left to do.
const (
	few  = 2000
	many = 1 << 20
)

// whole returns the slots and ranges of all circuits as one.
func (j *joint) whole() *circuit {
	all := &circuit{Objective: j.Objective}
	for _, c := range j.circuits {
		all.slots, all.ranges = append(all.slots, c.slots...), append(all.ranges, c.ranges...)
	}
	return all
}

// together chooses for all circuits at once from the networks that may come
// before the best plan, by what the circuits alone are known to be worth, if
// these are no more than so many. It reports whether nothing comes before that.
func (j *joint) together(alone *state, most int) bool {
	w, any := j.windows(alone)
	return !any || j.among(j.whole(), w, most)
}

// among chooses from the networks in the windows.
func (j *joint) among(c *circuit, w windows, most int) bool {
	lists, complete := c.list(w, most)
	if !complete {
		return false
	}
	var bar match.Key
	c.count(&bar, c.of(j.nets))
	nets, complete := c.before(lists, bar)
	if nets != nil {
		j.nets = slices.Clone(j.nets)
		for k, i := range c.slots {
			j.nets[i] = nets[k]
		}
	}
	return complete
}

// windows returns the windows in which a plan that comes before the best one
// has its networks, all circuits but one costing what they must, and false if
// there is none.
func (j *joint) windows(alone *state) (w windows, any bool) {
	w = j.whole().windows()
	for k, c := range j.circuits {
		least := j.atLeast(alone, k)
		least.Filled, least.Whole = least.Filled+len(c.slots), least.Whole+len(c.ranges)
		level := j.Order().Most(&least, match.Tally{}, &j.best)
		if !j.Narrow(w.lo, w.hi, c.ranges, level) {
			return w, false
		}
		parts := least.Parts
		for _, i := range c.slots {
			if w.fewest[i] = j.Fewest(i, w.lo[i], w.hi[i], w.fewest[i]); w.fewest[i] < 0 {
				return w, j.Context.Err() != nil
			}
			parts += w.fewest[i]
		}
		if least.Parts = j.best.Parts; least.Compare(&j.best) == 0 { // fewer parts must decide
			for _, i := range c.slots {
				w.most[i] = min(w.most[i], w.fewest[i]+j.best.Parts-1-parts)
			}
		}
	}
	return w, true
}

// atLeast returns what all circuits but one are worth at best.
func (j *joint) atLeast(alone *state, but int) match.Key {
	var k match.Key
	k.Copy(&j.base)
	for i, c := range j.circuits {
		switch {
		case i == but:
		case alone.done[i]:
			k.Merge(&alone.keys[i])
		default:
			k.Filled, k.Whole, k.Parts = k.Filled+len(c.slots), k.Whole+len(c.ranges), k.Parts+c.parts()
		}
	}
	return k
}

// caps returns what the range of each slot may cost, in percent, in a plan that
// comes no later than the best one: all others cost what they cost alone at least.
func (j *joint) caps(alone *state) []float64 {
	least, bar, caps := j.atLeast(alone, -1), j.best, make([]float64, len(j.Needs))
	bar.Parts++
	for k, c := range j.circuits {
		key := &alone.keys[k]
		t := match.Tally{Points: key.Points}
		for _, s := range slices.Concat(key.Within, key.Outside) {
			t.Steps = s
		}
		caps[c.slots[0]] = j.Order().Most(&least, t, &bar)
	}
	return caps
}

// unlimited are caps where it is not known what can be filled.
func (j *joint) unlimited() []float64 {
	return slices.Repeat([]float64{math.Inf(1)}, len(j.Needs))
}

// assign chooses for slots that share nothing but parts, from networks whose ranges
// cost no more than their caps. It reports whether nothing comes before that.
func (j *joint) assign(caps []float64) bool {
	all := j.everything()
	got := assign.Steps(j.Objective, j.nets, caps, func(nets []network.Network) {
		var key match.Key
		if all.count(&key, nets); key.Compare(&j.best) < 0 {
			j.nets, j.best = nets, key
		}
		j.report()
	})
	j.nets = got.Nets
	least := match.Key{Points: j.base.Points + got.Points, Within: []float64{got.Within}}
	j.low = max(j.low, worstAtLeast(j.Order(), &least, j.Ranges))
	return got.Exact
}
