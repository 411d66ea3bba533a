package coupled_test

import (
	"cmp"
	"math/rand/v2"
	"slices"

	"shuntwright/match/coupled"
	"shuntwright/match/matchtest"
)

// circuits is a meter by its closed formulas: a movement of full-scale current amperes and coil ohms, with one ring, one chain and any
// number of shunts and multipliers, slots and ranges in this order.
type circuits struct {
	amperes, ohms      float64
	ring, chain        []float64 // full-scale currents and voltages, the smallest first
	shunts, multiplier []float64
}

func (c circuits) count() int {
	return len(c.ring) + len(c.chain) + len(c.shunts) + len(c.multiplier)
}

func (c circuits) Errors(dst, ohms []float64) {
	loop, tap := c.ohms, 0.0
	for _, v := range ohms[:len(c.ring)] {
		loop += v
	}
	for k := len(c.ring) - 1; k >= 0; k-- {
		tap += ohms[k]
		dst[k] = (c.ring[k]*tap/(loop*c.amperes) - 1) * 100
	}
	at, sum := len(c.ring), c.ohms
	for k, v := range c.chain {
		sum += ohms[at+k]
		dst[at+k] = (v/(sum*c.amperes) - 1) * 100
	}
	at += len(c.chain)
	for k, i := range c.shunts {
		dst[at+k] = (i*ohms[at+k]/(ohms[at+k]+c.ohms)/c.amperes - 1) * 100
	}
	at += len(c.shunts)
	for k, v := range c.multiplier {
		dst[at+k] = (v/((ohms[at+k]+c.ohms)*c.amperes) - 1) * 100
	}
}

func (c circuits) Rising(r, s int) int {
	rings, chains, shunts := len(c.ring), len(c.ring)+len(c.chain), len(c.ring)+len(c.chain)+len(c.shunts)
	switch {
	case r < rings && s < rings:
		if s >= r {
			return 1
		}
		return -1
	case r >= rings && r < chains && s >= rings && s <= r:
		return -1
	case r >= chains && r < shunts && s == r:
		return 1
	case r >= shunts && s == r:
		return -1
	}
	return 0
}

// targets are the values at which every error is zero.
func (c circuits) targets() []float64 {
	var t []float64
	if len(c.ring) > 0 {
		loop := c.ohms + c.amperes*c.ohms/(c.ring[0]-c.amperes)
		for k, i := range c.ring {
			tap := c.amperes * loop / i
			if k+1 < len(c.ring) {
				tap -= c.amperes * loop / c.ring[k+1]
			}
			t = append(t, tap)
		}
	}
	last := c.ohms
	for _, v := range c.chain {
		t = append(t, v/c.amperes-last)
		last = v / c.amperes
	}
	for _, i := range c.shunts {
		t = append(t, c.amperes*c.ohms/(i-c.amperes))
	}
	for _, v := range c.multiplier {
		t = append(t, v/c.amperes-c.ohms)
	}
	return t
}

// problem asks for all networks of at most so many parts within so many percent of each target.
func (c circuits) problem(values []float64, atMost int, percent float64) (coupled.Problem, [][]matchtest.Candidate) {
	return c.choose(len(values), matchtest.Networks(values, atMost), percent)
}

// choose asks for those of all networks that are within so many percent of each target.
func (c circuits) choose(parts int, all []matchtest.Candidate, percent float64) (coupled.Problem, [][]matchtest.Candidate) {
	p := coupled.Problem{Parts: parts, Ranges: c.count(), Response: c, Budget: coupled.DefaultBudget}
	var lists [][]matchtest.Candidate
	for _, t := range c.targets() {
		list := matchtest.Within(all, t, percent)
		lists = append(lists, list)
		p.Slots = append(p.Slots, slotOf(list))
	}
	return p, lists
}

// pairs returns all networks of one or two of many parts, ascending by value.
func pairs(values []float64) []matchtest.Candidate {
	var all []matchtest.Candidate
	for i, a := range values {
		all = append(all, matchtest.Candidate{Value: a, Parts: []int32{int32(i)}})
		for j, b := range values[:i] {
			both := []int32{int32(j), int32(i)}
			all = append(all, matchtest.Candidate{Value: a + b, Parts: both}, matchtest.Candidate{Value: a * b / (a + b), Parts: both})
		}
	}
	slices.SortStableFunc(all, func(a, b matchtest.Candidate) int { return cmp.Compare(a.Value, b.Value) })
	return all
}

func slotOf(list []matchtest.Candidate) coupled.Slot {
	var slot coupled.Slot
	for _, n := range list {
		slot.Candidates = append(slot.Candidates, coupled.Candidate{Value: n.Value, Parts: n.Parts})
	}
	return slot
}

// random is a small meter and a drawer for it: values near the targets and sums and halves of them, some twice.
func random(rng *rand.Rand, slots, parts int) (circuits, []float64) {
	c := circuits{amperes: 1e-3, ohms: 50 + 100*rng.Float64()}
	for range slots {
		switch at := rng.IntN(6); {
		case at < 2 && len(c.ring) < 3:
			c.ring = append(c.ring, next(rng, c.ring, 2e-3))
		case at < 4:
			c.chain = append(c.chain, next(rng, c.chain, 0.5))
		case at == 4:
			c.shunts = append(c.shunts, next(rng, nil, 2e-3))
		default:
			c.multiplier = append(c.multiplier, next(rng, nil, 0.5))
		}
	}
	var values []float64
	targets := c.targets()
	for i := range parts {
		v := targets[i%len(targets)] * []float64{1, 0.5, 2, 0.3}[rng.IntN(4)] * (0.8 + 0.4*rng.Float64())
		if i > 0 && rng.IntN(8) == 0 {
			v = values[rng.IntN(i)]
		}
		values = append(values, v)
	}
	return c, values
}

// next is a full-scale value above the last.
func next(rng *rand.Rand, last []float64, first float64) float64 {
	if len(last) > 0 {
		first = last[len(last)-1] * 1.2
	}
	return first * (1 + 3*rng.Float64())
}
