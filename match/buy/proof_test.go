package buy

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

// TestAny: a slot can be filled with so many pieces exactly where a network of the
// stock with copies of every piece fills it.
func TestAny(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 41))
	drawn := func(most int) (parts []match.Part) {
		for range 1 + rng.IntN(most) {
			parts = append(parts, match.Part{Value: 10 + 60*rng.Float64(), Bears: []float64{1, 1, 1, 2, math.Inf(1)}[rng.IntN(5)]})
		}
		return parts
	}
	met := map[[2]int]int{}
	for range 250 {
		n := matchtest.Need(1, 1+rng.IntN(3))
		own, offered := drawn(3), drawn(2)
		if rng.IntN(3) == 0 {
			n.Keep, n.KeepBears = 10+float64(rng.IntN(60)), 1+rng.Float64()
		}
		copied := slices.Concat(own, slices.Repeat(offered, n.AtMost))
		all := matchtest.Every(copied, n)
		n.Within = 0.02
		about := all[rng.IntN(len(all))]
		n.Target = about.Value() * (1 + 2*n.Within*(rng.Float64()-0.5))
		if most := min(about.Bears(), 3); rng.IntN(2) == 0 {
			n.Flow, n.Drop = most*(0.9+0.15*rng.Float64()), most*n.Target*rng.Float64()
		}
		fewest := fewestPieces(copied, n, len(own))
		met[[2]int{n.AtMost, fewest}]++
		b := buyerOf(t, own, offered, n)
		if b.hopeless() {
			if fewest <= n.AtMost {
				t.Fatalf("%v of %v and %v: said to be hopeless, takes %d", n, own, offered, fewest)
			}
			continue
		}
		for pieces := range n.AtMost + 1 {
			if got := b.any(t.Context(), b.wide, 0, pieces); got != (pieces >= fewest) {
				t.Fatalf("%v of %v and %v: with %d pieces %v, takes %d", n, own, offered, pieces, got, fewest)
			}
		}
	}
	for atMost := 1; atMost <= 3; atMost++ {
		for fewest := range atMost + 1 {
			if met[[2]int{atMost, fewest}] < 5 {
				t.Errorf("hardly tested: %v", met)
			}
		}
	}
}

// fewestPieces is how many of the parts behind the first so many a network within the
// window of a need takes at least, more than there may be if there is none.
func fewestPieces(parts []match.Part, n match.Need, own int) int {
	fewest := n.AtMost + 1
	for _, x := range matchtest.Every(parts, n) {
		if math.Abs(x.Value()/n.Target-1) <= n.Within {
			fewest = min(fewest, len(slices.DeleteFunc(x.Parts(), func(p int) bool { return p < own })))
		}
	}
	return fewest
}

// buyerOf looks for pieces for one position, of two values at most.
func buyerOf(t *testing.T, own, offered []match.Part, n match.Need) *buyer {
	t.Helper()
	s, err := enumerate.NewStock(own)
	if err != nil {
		t.Fatal(err)
	}
	var offer Offer
	for _, p := range offered {
		offer.Values = append(offer.Values, p.Value)
	}
	offer.Bears = func(v float64) float64 { return offered[slices.Index(offer.Values, v)].Bears }
	p := matchtest.Separate([]float64{n.Target}, network.MaxParts, 1)
	p.Needs = []match.Need{n}
	b, err := newBuyer(t.Context(), s, p, offer, 2, 100*n.Within)
	if err != nil {
		t.Fatal(err)
	}
	return b
}
