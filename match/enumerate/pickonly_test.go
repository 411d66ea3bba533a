package enumerate

import (
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

// A query for some parts, sizes and networks gives what is left of all of them.
func TestPickOnlySome(t *testing.T) {
	for seed := range matchtest.Seeds(300) {
		rng := rand.New(rand.NewPCG(seed, 15))
		s, q := randomQuery(t, rng)
		plain := q
		plain.Top = match.MaxTop
		q.Fewest = rng.IntN(3)
		q.Only = []int{}
		for i := range s.Len() {
			if rng.IntN(4) > 0 {
				q.Only = append(q.Only, i)
			}
		}
		if rng.IntN(2) == 0 {
			q.Wanted = func(n network.Network) bool { return n.HasKept() || n.Parts()[0]%2 == 0 }
		}
		all := slices.DeleteFunc(brutePick(s, plain), func(c match.Choice) bool {
			return c.Network.Size() < q.Fewest || q.Wanted != nil && !q.Wanted(c.Network) ||
				slices.ContainsFunc(c.Network.Parts(), func(i int) bool { return !slices.Contains(q.Only, i) })
		})
		got, err := s.Pick(t.Context(), q)
		if err != nil || len(got.Choices) != min(len(all), q.Top) {
			t.Fatalf("seed %d: %d choices of %d, error %v", seed, len(got.Choices), len(all), err)
		}
		for _, c := range got.Choices {
			if !slices.ContainsFunc(all, func(a match.Choice) bool { return a.Network == c.Network }) {
				t.Fatalf("seed %d: %v is not wanted", seed, c.Network.Parts())
			}
		}
	}
	s := stockOf(t, 1, 2)
	for name, q := range map[string]match.Query{"part 2": {Need: need(1, 1), Top: 1, Only: []int{2}}, "part -1": {Need: need(1, 1), Top: 1, Only: []int{-1}},
		"fewest": {Need: need(1, 1), Top: 1, Fewest: -1}} {
		if _, err := s.Pick(t.Context(), q); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
