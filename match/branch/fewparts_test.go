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

// Whoever allows more parts a position must not solder more of them in all
// where the plan with fewer allowed fills all and is good enough, however few
// networks the lists may hold.
func TestPlanTakesNoMorePartsWhereMoreAreAllowed(t *testing.T) {
	reached, ends := 0, map[match.Ending]int{}
	for seed := range matchtest.Seeds(1000) {
		values, p := matchtest.Draw(rand.New(rand.NewPCG(seed, 62)), false)
		s, err := enumerate.NewStock(matchtest.Parts(values))
		if err != nil {
			t.Fatal(err)
		}
		sizes := Sizes{First: 2, Most: 2 + int(seed%5), All: 1000}
		p.Enough = 0.5 + float64(seed%8)
		fewest := math.MaxInt
		for parts := 1; parts <= 3; parts++ {
			for i := range p.Needs {
				p.Needs[i].AtMost = parts
			}
			got, err := Plan(objective.New(t.Context(), s, p), sizes)
			if err != nil {
				t.Fatal(err)
			}
			ends[got.End]++
			enough := got.Worst <= p.Enough && !slices.Contains(got.Filled, false)
			if fewest < math.MaxInt && (!enough || got.Parts() > fewest) {
				t.Fatalf("seed %d: at most %d parts: %d in all, within %v: %v; with fewer allowed %d in all do", seed, parts, got.Parts(), p.Enough, got.Errors, fewest)
			}
			if enough {
				reached++
				fewest = got.Parts()
			}
		}
	}
	if reached < 100 || ends[match.Narrowed] < 33 {
		t.Errorf("hardly tested: %d good enough, %v", reached, ends)
	}
}
