package solve

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
)

// What is impossible no plan does, found by trying them all; what is not, some plan
// does in every circuit by itself. A circuit alone is so mostly seen not to do.
func TestImpossible(t *testing.T) {
	seen := map[bool]int{}
	over, stop := context.WithCancel(t.Context())
	stop()
	for seed := range uint64(300) {
		values, p := matchtest.DrawMeter(rand.New(rand.NewPCG(seed, 41)))
		p.Enough = p.Class
		s := stockOf(t, values...)
		first, _ := matchtest.BestPlan(s.Parts(), p)
		does := !slices.Contains(first.Chosen, -1) && !(first.Costs()[0] > p.Class*(1+match.Guard))
		impossible := Impossible(t.Context(), s, p)
		if does && impossible {
			t.Errorf("seed %d: %v does, and is said to be impossible", seed, first)
		}
		if does && Impossible(over, s, p) {
			t.Errorf("seed %d: %v does, and is said to be impossible where there is no time to look", seed, first)
		}
		if !does {
			seen[impossible]++
		}
	}
	if seen[true] < 50 || seen[false] > seen[true]/2 {
		t.Errorf("of plans that do not, so many are known to be impossible: %v", seen)
	}
}
