package solve

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
)

// Where lists may hold a few networks only, what is said to be exact or proven
// must be, and no bound may be above the optimum.
func TestPlanCoupledWithShortLists(t *testing.T) {
	defer func(first, most int) { coupledSizes.First, coupledSizes.Most = first, most }(coupledSizes.First, coupledSizes.Most)
	ends := map[match.Ending]int{}
	for seed := range matchtest.Seeds(600) {
		s, p := randomProblem(t, rand.New(rand.NewPCG(seed, 61)), false)
		coupledSizes.First, coupledSizes.Most = 2, 2+int(seed%5)
		got, err := Plan(t.Context(), s, p)
		if err != nil {
			t.Fatal(err)
		}
		ends[got.End]++
		if got.End == match.Exact {
			comparePlan(t, s, p)
		}
		checkPlan(t, s, p, got)
		enough := p.Enough
		p.Enough = 0
		want, _ := matchtest.BestPlan(s.Parts(), p)
		more := want.Filled() - got.Key.Filled
		if more < 0 || got.Proven && more != 0 {
			t.Errorf("seed %d: %d more positions can be filled", seed, more)
		}
		if costs := want.Costs(); more == 0 && len(costs) > 0 && !math.IsNaN(got.Worst) && len(costs) == got.Key.Whole {
			if got.Bound > costs[0]+1e-9 || got.Proven && got.Worst > max(costs[0], enough)+1e-9 {
				t.Errorf("seed %d: worst %v, bound %v, %v; the smallest is %v", seed, got.Worst, got.Bound, got.End, costs[0])
			}
		}
		if t.Failed() {
			t.Fatalf("seed %d: %+v", seed, got)
		}
	}
	if ends[match.Exact] < 16 || ends[match.Narrowed] < 16 {
		t.Errorf("hardly tested: %v", ends)
	}
}

// Position 0 matters to no range, since position 1, with which it makes one,
// cannot be filled; but it must leave position 2 the only part that suits it.
func TestPlanLeavesAPartToWhomItMatters(t *testing.T) {
	defer func(first int) { coupledSizes.First = first }(coupledSizes.First)
	coupledSizes.First = 2
	p := matchtest.Separate([]float64{100, 1e6, 100}, 2, 0.2)
	p.Needs[2].AtMost = 1
	p.Response.(*matchtest.Linear).Weights[0][1] = 1
	s := stockOf(t, 100, 104, 50, 51, 60, 45)
	got, err := Plan(t.Context(), s, p)
	if err != nil || got.End != match.Exact || !got.Filled[0] || !slices.Equal(got.Networks[2].Parts(), []int{0}) || !slices.Equal(got.Networks[0].Parts(), []int{1}) {
		t.Errorf("%+v, error %v", got, err)
	}
	s = stockOf(t, 100, 124, 50, 51, 60, 45) // no single part is left for position 0
	got, err = Plan(t.Context(), s, p)
	if err != nil || got.End != match.Exact || !got.Filled[0] || !slices.Equal(got.Networks[2].Parts(), []int{0}) || got.Networks[0].Size() != 2 {
		t.Errorf("%+v, error %v", got, err)
	}
}
