package solve

import (
	"context"
	"math/rand/v2"
	"testing"

	"shuntwright/match"
	"shuntwright/match/local"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
	"shuntwright/match/objective"
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

// What a search had when its time was up makes no plan later than one that had
// nothing.
func TestPolishIsNoLaterForMore(t *testing.T) {
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	for _, name := range matchtest.Benches {
		s, b := readBench(t, name)
		b.Problem.Resolution = 0
		pl := objective.New(ended, s, b.Problem)
		nothing := polish(pl, match.Plan{Networks: make([]network.Network, len(pl.Needs)), End: match.Interrupted}, nil)
		started := local.New(pl)
		started.Run()
		some := pl.Plan(started.Networks())
		some.End = match.Interrupted
		if got := polish(pl, some, nil); got.Key.CompareAll(&nothing.Key) > 0 {
			t.Errorf("%s: %+v, where nothing makes %+v", name, got.Key, nothing.Key)
		}
	}
}

func words(nets []network.Network) (out [][]int) {
	for _, n := range nets {
		out = append(out, n.Parts())
	}
	return out
}
