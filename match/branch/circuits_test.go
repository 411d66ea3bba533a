package branch_test

import (
	"math/rand/v2"

	"shuntwright/match/branch"
	"shuntwright/match/matchtest"
)

// circuits is a meter: a movement of full-scale current amperes and coil ohms,
// with one ring, one chain and any number of shunts and multipliers, slots and
// ranges in this order.
type circuits struct {
	amperes, ohms      float64
	ring, chain        []float64 // full-scale currents and voltages, the smallest first
	shunts, multiplier []float64
}

// meter is the same by closed formulas.
func (c circuits) meter() *matchtest.Meter {
	return matchtest.NewMeter(c.amperes, c.ohms, matchtest.Circuit{Kind: matchtest.Ring, Full: c.ring}, matchtest.Circuit{Kind: matchtest.Chain, Full: c.chain},
		matchtest.Circuit{Kind: matchtest.Shunt, Full: c.shunts}, matchtest.Circuit{Kind: matchtest.Multiplier, Full: c.multiplier})
}

// targets are the values at which every error is zero.
func (c circuits) targets() []float64 { return c.meter().Targets }

// problem asks for all networks of at most so many parts within so many percent
// of each target.
func (c circuits) problem(values []float64, atMost int, percent float64) (branch.Problem, [][]matchtest.Candidate) {
	return problem(c.meter(), values, atMost, percent)
}

func problem(m *matchtest.Meter, values []float64, atMost int, percent float64) (branch.Problem, [][]matchtest.Candidate) {
	p := branch.Problem{Parts: len(values), Ranges: len(m.Targets), Response: m, Budget: branch.DefaultBudget}
	all := matchtest.Networks(values, atMost)
	var lists [][]matchtest.Candidate
	for _, t := range m.Targets {
		list := matchtest.Within(all, t, percent)
		lists = append(lists, list)
		p.Slots = append(p.Slots, slotOf(list))
	}
	return p, lists
}

func slotOf(list []matchtest.Candidate) (slot []branch.Candidate) {
	for _, n := range list {
		slot = append(slot, branch.Candidate{Value: n.Value, Parts: n.Parts})
	}
	return slot
}

// random is a small meter and a drawer for it: values near the targets and sums
// and halves of them, some twice.
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
