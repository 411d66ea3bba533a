package assign

import (
	"math/rand/v2"
	"testing"
)

// TestRepairKeepsTheRules repairs the empty choice and holds what comes out
// against the rules; brute force tells how often there is a choice at all.
func TestRepairKeepsTheRules(t *testing.T) {
	could, did := 0, 0
	for seed := range uint64(1500) {
		rng := rand.New(rand.NewPCG(seed, 9))
		p := tiny(rng)
		options, none := make([][]option, len(p.Positions)), make(choice, len(p.Positions))
		for i, list := range p.Positions {
			none[i] = open
			options[i] = append(cheapest(list, len(list)), open)
		}
		r := free(options)
		r.opens = rng.IntN(2)
		r = r.limited(0, float64(rng.IntN(12))).limited(1, float64(rng.IntN(6)))
		if possible(p, r) {
			could++
		}
		c := repair(none, r, p.Parts, effort)
		if c == nil {
			continue
		}
		did++
		chosen := make([]int, len(c))
		for i, o := range c {
			chosen[i] = int(o.index)
		}
		if !disjointParts(p, chosen) || !keepsRules(p, r, chosen) {
			t.Fatalf("seed %d: %+v, %+v: %v", seed, p, r, chosen)
		}
	}
	if could < 300 || did < could*8/10 {
		t.Errorf("%d of %d repaired; want at least 300 that can be, and 80 %% of them", did, could)
	}
}

func possible(p Problem, r rules) bool {
	for _, chosen := range everyChoice(p) {
		if keepsRules(p, r, chosen) {
			return true
		}
	}
	return false
}

// keepsRules says it again, in the plainest way.
func keepsRules(p Problem, r rules, chosen []int) bool {
	opens, above := 0, 0
	for i, k := range chosen {
		switch {
		case k < 0:
			opens++
		case p.Positions[i][k].Cost > r.limits[0]:
			return false
		case p.Positions[i][k].Cost > r.limits[1]:
			above++
		}
	}
	return opens <= r.opens && above <= 1
}

// TestImprove holds the first choice against the optima that general solvers
// proved.
func TestImprove(t *testing.T) {
	for _, name := range quick {
		p, want := instance(t, name)
		if want.Filled < len(p.Positions) {
			continue
		}
		_, c := start(t.Context(), p)
		if c.filled() < want.Filled || !(c.worst() <= 1.02*want.Worst) {
			t.Errorf("%s: %d of %d filled, worst %v; proven is %v", name, c.filled(), want.Filled, c.worst(), want.Worst)
		}
	}
}
