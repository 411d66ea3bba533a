package solve

import (
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/assign"
	"shuntwright/match/network"
)

// caps returns what the range of each slot may cost, in percent, in a plan that
// comes no later than the best one: all others cost what they cost alone at least.
func (j *joint) caps(alone *state) []float64 {
	bar, caps := j.best, make([]float64, len(j.Needs))
	bar.Parts++
	for k, c := range j.circuits {
		key := &alone.keys[k]
		t := match.Tally{Points: key.Points}
		for _, s := range slices.Concat(key.Within, key.Outside) {
			t.Steps = s
		}
		caps[c.slots[0]] = j.Order().Most(&alone.key, t, &bar)
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
	all := &circuit{Objective: j.Objective}
	for i := range j.Needs {
		all.slots = append(all.slots, i)
	}
	for r := range j.Ranges {
		all.ranges = append(all.ranges, r)
	}
	got := assign.Steps(j.Objective, j.nets, caps, func(nets []network.Network) {
		var key match.Key
		if all.count(&key, nets); key.Compare(&j.best) < 0 {
			j.nets, j.best = nets, key
			j.report()
		}
	})
	j.nets = got.Nets
	least := match.Key{Points: j.base.Points + got.Points, Within: []float64{got.Within}}
	j.low = max(j.low, worstAtLeast(j.Order(), &least, j.Ranges))
	return got.Exact
}
