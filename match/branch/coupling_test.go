package branch

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
	"shuntwright/match/objective"
)

// With lists of any size, what is said to be exact is the plan of brute force.
func TestPlanAgainstBruteForce(t *testing.T) {
	exact := map[Sizes]int{}
	for seed := range uint64(100) {
		values, p := matchtest.Draw(rand.New(rand.NewPCG(seed, 41)), false)
		parts := matchtest.Parts(values)
		s, err := enumerate.NewStock(parts)
		if err != nil {
			t.Fatal(err)
		}
		want, nets := matchtest.BestPlan(parts, p)
		for _, sizes := range []Sizes{{2, 4, 1000}, {2, 1000, 1000}, Usual} {
			got, err := Plan(objective.New(t.Context(), s, p), sizes)
			if err != nil {
				t.Fatal(err)
			}
			if got.End != match.Exact {
				continue
			}
			exact[sizes]++
			for i, k := range want.Chosen {
				var set []int
				if k >= 0 {
					set = nets[i][k].Parts()
				}
				if !slices.Equal(got.Networks[i].Parts(), set) {
					t.Fatalf("seed %d, %v: position %d has parts %v, want %v", seed, sizes, i, got.Networks[i].Parts(), set)
				}
			}
		}
	}
	if exact[Usual] != 100 {
		t.Errorf("exact: %v", exact)
	}
}

// What is foreseen to fit is found whole, and separate positions need little.
func TestForesee(t *testing.T) {
	p := matchtest.Separate([]float64{100, 1000}, 2, 0.2)
	s, err := enumerate.NewStock(matchtest.Parts(matchtest.Values(50, 1)))
	if err != nil {
		t.Fatal(err)
	}
	if f, err := Foresee(objective.New(t.Context(), s, p), Usual); err != nil || f.Networks != 0 || f.Exceeds() {
		t.Errorf("separate: %+v, error %v", f, err)
	}
	p.Response.(*matchtest.Linear).Weights[0][1] = 0.5
	for _, few := range []bool{false, true} {
		sizes := Usual
		if few {
			sizes = Sizes{First: 2, Most: 4, All: 1000}
		}
		f, err := Foresee(objective.New(t.Context(), s, p), sizes)
		if err != nil || f.Exceeds() != few || !(f.Networks > 1) || math.IsInf(f.Networks, 0) {
			t.Errorf("coupled, few %v: %+v, error %v", few, f, err)
		}
	}
}
