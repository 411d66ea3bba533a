package solve

import (
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match/matchtest"
)

// The surest plan of coupled positions is that of brute force, the whole order
// of it, whether a floor helps the proof or not.
func TestPlanSurestAgainstBruteForce(t *testing.T) {
	others := 0
	for seed := range matchtest.Seeds(600) {
		rng := rand.New(rand.NewPCG(seed, 23))
		s, p := randomProblem(t, rng, false)
		d := matchtest.DrawDoubts(rng, s.Len(), p.Response)
		before, _ := matchtest.BestPlan(s.Parts(), p)
		if p.Limit = d.Limit; rng.IntN(3) > 0 {
			p.LimitFloor = d
		}
		comparePlan(t, s, p)
		if t.Failed() {
			t.Fatal("seed", seed)
		}
		if after, _ := matchtest.BestPlan(s.Parts(), p); !slices.Equal(before.Chosen, after.Chosen) {
			others++
		}
	}
	if others < 16 {
		t.Errorf("only %d surest plans differ from the one that looks best", others)
	}
}
