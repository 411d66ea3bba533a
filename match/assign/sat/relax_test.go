package sat

import (
	"math"
	"math/rand/v2"
	"testing"
)

// summed is the dual solution of some factors of the resources: what every item
// costs, and what the room is worth.
func summed(p Problem, factor []int64) *dual {
	t := &dual{}
	for r, f := range factor {
		t.worth += f * int64(p.Room[r])
	}
	for _, group := range p.Groups {
		for _, item := range group {
			price := int64(0)
			for _, r := range item {
				price += factor[r]
			}
			t.price = append(t.price, price)
		}
	}
	return t
}

// cramped has as many groups as there is room, or one more, each with an item
// for every resource.
func cramped(room, groups int) (p Problem) {
	for r := range int32(room) {
		p.Room = append(p.Room, 1)
		for g := range groups {
			if r == 0 {
				p.Groups = append(p.Groups, nil)
			}
			p.Groups[g] = append(p.Groups[g], Item{r})
		}
	}
	return p
}

// cheapest is what the cheapest items not ruled out cost together, one a group.
func (s *search) cheapest(t *dual) (sum int64) {
	for _, items := range s.groups {
		least := int64(math.MaxInt32)
		for _, item := range items {
			if s.value[item] != ruledOut {
				least = min(least, t.price[item])
			}
		}
		sum += least
	}
	return sum
}

// TestForgedProofs hands the search factors that no relaxation has made, as one
// that has lost its way in float64 might. They prove that there is no choice
// exactly where the cheapest items cost more than the room is worth, by one at
// least; and where there is a choice, never.
func TestForgedProofs(t *testing.T) {
	refused, proofs := 0, 0
	for seed := range uint64(400) {
		rng := rand.New(rand.NewPCG(seed, 41))
		p := drawn(rng, 2+rng.IntN(5), 1+rng.IntN(4), 3+rng.IntN(4), 1)
		if seed%4 == 0 {
			room := 2 + rng.IntN(3)
			p = cramped(room, room+rng.IntN(2))
		}
		s, yes := New(p), brute(p, nil)
		if !s.Start(t.Context(), nil) {
			continue
		}
		for range 20 {
			factor := make([]int64, len(p.Room))
			for r := range factor {
				factor[r] = rng.Int64N(3)
			}
			forged, kept := summed(p, factor), len(s.search.duals)
			beyond := s.search.cheapest(forged) - forged.worth
			got := s.search.priced(forged)
			switch {
			case got != (beyond > 0):
				t.Fatalf("seed %d: the cheapest items cost %d more than the room: accepted %v", seed, beyond, got)
			case got && yes:
				t.Fatalf("seed %d: proves that there is no choice, and there is one", seed)
			case got:
				proofs++
			case len(s.search.duals) != kept:
				t.Fatalf("seed %d: what was refused is kept", seed)
			case beyond == 0:
				refused++ // by a hair
			}
		}
	}
	if refused < 500 || proofs < 100 {
		t.Errorf("%d refused by a hair, %d proofs: the draw is lopsided", refused, proofs)
	}
}
