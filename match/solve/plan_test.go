package solve

import (
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
)

// randomProblem draws a stock and a problem small enough for brute force.
func randomProblem(t testing.TB, rng *rand.Rand, separate bool) (*enumerate.Stock, match.Problem) {
	values, p := matchtest.Draw(rng, separate)
	return stockOf(t, values...), p
}

// comparePlan holds a plan against all plans, part by part, in the exact order.
func comparePlan(t *testing.T, s *enumerate.Stock, p match.Problem) {
	t.Helper()
	got, want, nets := checkOrder(t, s, p)
	for i, k := range want.Chosen {
		var parts []int
		if k >= 0 {
			parts = nets[i][k].Parts()
		}
		if got.Filled[i] != (k >= 0) || !slices.Equal(got.Networks[i].Parts(), parts) {
			t.Fatalf("position %d has parts %v, want %v", i, got.Networks[i].Parts(), parts)
		}
	}
	if got.Bound > got.Worst || p.Enough == 0 && got.Bound < got.Worst-1e-9 {
		t.Fatalf("bound %v, worst %v", got.Bound, got.Worst)
	}
}

func TestPlanAgainstBruteForce(t *testing.T) {
	overSeeds(t, matchtest.Seeds(1000), 6, func(seed uint64, rng *rand.Rand) {
		s, p := randomProblem(t, rng, seed%4 > 0)
		comparePlan(t, s, p)
	})
}

// Starting with very short lists must not change the answer.
func TestPlanGrowsItsLists(t *testing.T) {
	defer func(separate, coupled int) { listedFirst, coupledSizes.First = separate, coupled }(listedFirst, coupledSizes.First)
	listedFirst, coupledSizes.First = 1, 2
	TestPlanAgainstBruteForce(t)
	for _, name := range []string{"easy-40-6", "scarce-12-5", "scarce-20-9", "unfillable-12-7-three", "ring-12-3"} {
		t.Run(name, func(t *testing.T) { checkInstance(t, name) })
	}
}

// oneEdge is a response whose error grows quickly below the target and slowly
// above it: what is nearest in value is not what costs least.
type oneEdge struct{ matchtest.Linear }

func (o *oneEdge) Errors(dst, ohms []float64) {
	o.Linear.Errors(dst, ohms)
	for r, e := range dst {
		if e < 0 {
			dst[r] = 40 * e
		}
	}
}

func TestPlanWithALopsidedResponse(t *testing.T) {
	defer func(n int) { listedFirst = n }(listedFirst)
	listedFirst = 2
	overSeeds(t, matchtest.Seeds(200), 16, func(_ uint64, rng *rand.Rand) {
		s, p := randomProblem(t, rng, true)
		p.Response = &oneEdge{*p.Response.(*matchtest.Linear)}
		comparePlan(t, s, p)
	})
}

// The surest plan of coupled positions is that of brute force, the whole order
// of it, whether a floor helps the proof or not.
func TestPlanSurestAgainstBruteForce(t *testing.T) {
	others := 0
	overSeeds(t, matchtest.Seeds(600), 23, func(_ uint64, rng *rand.Rand) {
		s, p := randomProblem(t, rng, false)
		d := matchtest.DrawDoubts(rng, s.Len(), p.Response)
		before, _ := matchtest.BestPlan(s.Parts(), p)
		if p.Limit = d.Limit; rng.IntN(3) > 0 {
			p.LimitFloor = d
		}
		comparePlan(t, s, p)
		if after, _ := matchtest.BestPlan(s.Parts(), p); !slices.Equal(before.Chosen, after.Chosen) {
			others++
		}
	})
	if others < 16 {
		t.Errorf("only %d surest plans differ from the one that looks best", others)
	}
}
