package solve

import (
	"math"
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

func comparePlan(t *testing.T, s *enumerate.Stock, p match.Problem) {
	t.Helper()
	got, err := Plan(t.Context(), s, p)
	if err != nil || got.End != match.Exact || !got.Proven {
		t.Fatalf("%v, error %v", got.End, err)
	}
	checkPlan(t, s, p, got)
	want, nets := matchtest.BestPlan(s.Parts(), p)
	limits := make([]float64, p.Ranges)
	if p.Limit != nil {
		p.Limit(got.Networks, limits)
	}
	var costs []float64
	for r, e := range got.Errors {
		if !math.IsNaN(e) {
			costs = append(costs, math.Abs(e)+limits[r])
		}
	}
	slices.Sort(costs)
	slices.Reverse(costs)
	if !slices.EqualFunc(costs, want.Costs(), func(a, b float64) bool { return math.Abs(a-b) < 2e-9 }) {
		t.Fatalf("errors %v, want %v", costs, want.Costs())
	}
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
	for seed := range matchtest.Seeds(1000) {
		s, p := randomProblem(t, rand.New(rand.NewPCG(seed, 6)), seed%4 > 0)
		comparePlan(t, s, p)
		if t.Failed() {
			t.Fatal("seed", seed)
		}
	}
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
	for seed := range matchtest.Seeds(200) {
		s, p := randomProblem(t, rand.New(rand.NewPCG(seed, 16)), true)
		p.Response = &oneEdge{*p.Response.(*matchtest.Linear)}
		comparePlan(t, s, p)
		if t.Failed() {
			t.Fatal("seed", seed)
		}
	}
}
