package enumerate

import (
	"context"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
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

// Endless parts must make the networks that four copies of each make, and no others.
func TestFinderEndless(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	most := 0
	for range 200 {
		_, q := randomQuery(t, rng)
		parts := matchtest.Parts(matchtest.Values(1+rng.IntN(3), rng.Uint64()))
		endless := rng.IntN(min(len(parts), 2) + 1)
		once := len(parts) - endless
		s, _ := NewStock(parts)
		copied := slices.Clone(parts[:once])
		for _, p := range parts[once:] {
			copied = append(copied, slices.Repeat([]match.Part{p}, network.MaxParts)...)
		}
		key := func(n network.Network, copies int) string {
			used := n.Parts()
			for k, p := range used {
				used[k] = min(p, once+(p-once)/copies)
			}
			return fmt.Sprintf("%v %.9g", used, n.Value())
		}
		want, got := map[string]bool{}, map[string]bool{}
		for _, n := range matchtest.Every(copied, q.Need) {
			want[key(n, network.MaxParts)] = true
		}
		f := s.Endless(endless)
		for m := 0; m <= q.AtMost; m++ {
			f.Each(t.Context(), q.Need, m, 0, math.Inf(1), func(n network.Network) bool { got[key(n, 1)] = true; return true })
		}
		if most = max(most, len(got)); !maps.Equal(got, want) {
			t.Fatalf("%d of %d parts endless, at most %d, kept %v: %d networks, want %d", endless, len(parts), q.AtMost, q.Keep, len(got), len(want))
		}
	}
	if most < 100 {
		t.Errorf("at most %d networks tested", most)
	}
}

// Few must list what Each visits where that is no more than the limit, and nothing
// where it is more; without ratings it counts exactly those.
func TestFinderFew(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 7))
	for range 300 {
		s, q := randomQuery(t, rng)
		lo, hi := q.Target*0.9, q.Target*1.1
		var want []network.Network
		each(s, q.Need, lo, hi, func(n network.Network) { want = append(want, n) })
		f, first := s.All().Finder(), []network.Network{{}}
		got, few, err := f.Few(t.Context(), q.Need, 0, lo, hi, 1<<20, first)
		if err != nil || !few || !slices.Equal(got[1:], want) {
			t.Fatalf("%d networks, want %d; few %v, error %v", len(got)-1, len(want), few, err)
		}
		rated := q.Flow > 0 || q.Drop > 0
		for limit := max(1, len(want)-1); limit <= len(want)+1; limit++ {
			got, few, err = f.Few(t.Context(), q.Need, 0, lo, hi, limit, first)
			switch {
			case err != nil, few && !slices.Equal(got[1:], want), !few && len(got) > 1, few && len(want) > limit, !rated && !few && len(want) <= limit:
				t.Fatalf("at most %d: %d networks, want %d; few %v, error %v", limit, len(got)-1, len(want), few, err)
			}
		}
	}
	s, q := randomQuery(t, rng)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if got, few, err := s.All().Finder().Few(ctx, q.Need, 1, 0, 1e9, 1<<20, nil); len(got) > 0 || few || err == nil {
		t.Errorf("of a context that has ended: %d networks, few %v, error %v", len(got), few, err)
	}
}
