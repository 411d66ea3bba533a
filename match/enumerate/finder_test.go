package enumerate

import (
	"context"
	"math/rand/v2"
	"testing"

	"shuntwright/match"
	"shuntwright/match/network"
)

// each asks one finder for the networks of every size.
func each(s *Stock, n match.Need, lo, hi float64, visit func(network.Network)) {
	f := s.All().Finder()
	for parts := 0; parts <= n.AtMost; parts++ {
		f.Each(context.Background(), n, parts, lo, hi, func(n network.Network) bool { visit(n); return true })
	}
}

func TestFinder(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range 100 {
		s, q := randomQuery(t, rng)
		lo, hi := q.Target*0.8, q.Target*1.3
		want := map[network.Network]bool{}
		for _, n := range everyNetwork(s, q.Need) {
			if n.Value() >= lo && n.Value() <= hi {
				want[n] = true
			}
		}
		got := map[network.Network]bool{}
		each(s, q.Need, lo, hi, func(n network.Network) {
			if got[n] || !want[n] {
				t.Errorf("%v twice or outside of the window", n.Tree())
			}
			got[n] = true
		})
		if len(got) != len(want) {
			t.Fatalf("%d networks, want %d", len(got), len(want))
		}
	}
}

// What a finder has listed for one need must serve the next one, whatever that
// keeps and bears.
func TestFinderAskedAgain(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	s, _ := randomQuery(t, rng)
	f := s.All().Finder()
	for range 300 {
		_, q := randomQuery(t, rng)
		want := 0
		for _, n := range everyNetwork(s, q.Need) {
			if n.Size() == q.AtMost && n.Value() >= q.Target*0.8 && n.Value() <= q.Target*1.3 {
				want++
			}
		}
		got := 0
		f.Each(t.Context(), q.Need, q.AtMost, q.Target*0.8, q.Target*1.3, func(network.Network) bool { got++; return true })
		if got != want {
			t.Fatalf("%d networks, want %d: %+v", got, want, q.Need)
		}
	}
}
