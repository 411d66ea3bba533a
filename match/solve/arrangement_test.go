package solve

import (
	"math/rand/v2"
	"testing"

	"shuntwright/match/matchtest"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// raised is what a network has where every part has so many percent more.
func raised(tree network.Tree, values, percent []float64) float64 {
	if tree.Op == network.Leaf {
		return values[tree.Part] * (1 + percent[tree.Part]/100)
	}
	sum := 0.0
	for _, of := range tree.Of {
		if x := raised(of, values, percent); tree.Op == network.Series {
			sum += x
		} else {
			sum += 1 / x
		}
	}
	if tree.Op == network.Parallel {
		return 1 / sum
	}
	return sum
}

// Of two parts that are equal in ohms and not as well known, it matters which one
// decides the value: the same parts in another arrangement, equal in ohms, may be
// surer, and no list may leave that out.
func TestSurestArrangement(t *testing.T) {
	together := 0
	overSeeds(t, 20, 24, func(seed uint64, rng *rand.Rand) {
		values, percent := []float64{10, 10, 22 + 40*rng.Float64(), 15}, []float64{5, 0.1, 1, 1}
		if rng.IntN(2) == 0 {
			percent[0], percent[1] = percent[1], percent[0]
		}
		p := matchtest.Separate([]float64{5 + 30*rng.Float64(), 15}, 3, 0.6)
		p.Needs[1].AtMost = 1
		p.Response.(*matchtest.Linear).Weights[0][1] = float64(seed%2) * 0.3 // else they are separate
		p.Limit = func(nets []network.Network, dst []float64) {
			for i, n := range nets {
				if dst[i] = 0.1; !n.IsZero() {
					dst[i] += 100 * (raised(n.Tree(), values, percent)/n.Value() - 1)
				}
			}
		}
		s := stockOf(t, values...)
		comparePlan(t, s, p)
		p.Class, p.Resolution = 20, 0.01
		best, _, _ := checkOrder(t, s, p)
		if nets := anyPlan(rng, s, p); best.Key.Filled == 2 && nets != nil {
			j := newJoint(objective.New(t.Context(), s, p))
			j.nets = nets
			j.everything().count(&j.best, nets)
			j.split()
			done := j.together(j.state(), many)
			if got := j.Plan(j.nets); !done || got.Key.Compare(&best.Key) != 0 {
				t.Errorf("from %v all together, to the end %v: %v, want %v", nets, done, j.nets, best.Networks)
			}
			together++
		}
	})
	if together < 8 {
		t.Errorf("only %d chosen all together", together)
	}
}
