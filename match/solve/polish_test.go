package solve

import (
	"context"
	"math/rand/v2"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

// Where the time is up at once, no position can be refitted from the free parts
// to come earlier, and no two of one circuit by networks of up to two parts.
func TestRefitsBetterNothing(t *testing.T) {
	for _, exact := range []bool{false, true} {
		checkRefits(t, exact)
	}
}

func checkRefits(t *testing.T, exact bool) {
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	unproven := 0
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 35))
		s, p := drawMeter(t, rng)
		if seed%3 == 0 {
			s, p = randomProblem(t, rng, false)
			p = matchtest.Resolved(p, rng)
		}
		if exact {
			p.Resolution = 0
		}
		got, err := Plan(ended, s, p)
		if err != nil || got.End != match.Interrupted || got.Proven {
			t.Fatalf("seed %d: %v, error %v", seed, got.End, err)
		}
		if better := matchtest.Refit(s.Parts(), p, got.Networks); better != nil {
			t.Fatalf("seed %d, exact %v: %v bettered by %v", seed, exact, words(got.Networks), words(better))
		}
		if first, _ := Plan(t.Context(), s, p); first.Key.Compare(&got.Key) < 0 {
			unproven++
		}
	}
	if unproven < 2 {
		t.Errorf("only %d plans were not the first ones", unproven)
	}
}

func words(nets []network.Network) (out [][]int) {
	for _, n := range nets {
		out = append(out, n.Parts())
	}
	return out
}
