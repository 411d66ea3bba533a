package solve

import (
	"math/rand/v2"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

// allowing is the problem with at most so many parts a position.
func allowing(p match.Problem, parts int) match.Problem {
	p.Needs = append([]match.Need(nil), p.Needs...)
	for i := range p.Needs {
		p.Needs[i].AtMost = parts
	}
	return p
}

// A ring and a chain from 80 parts, by fours: 84 million networks a position,
// of which the nearest to the targets have four parts each. That pairs take the
// fewest is proven all the same.
func TestPlanFewPartsOfMany(t *testing.T) {
	s, p := stockOf(t, fiveDecades(80)...), ringAndChain()
	p.Enough = 1
	for parts := 2; parts <= network.MaxParts; parts++ {
		got, err := Plan(t.Context(), s, allowing(p, parts))
		if err != nil || got.End != match.Exact || !(got.Worst <= p.Enough) || got.Parts() != 20 {
			t.Errorf("at most %d parts: %v, worst %v, %d in all, error %v", parts, got.End, got.Worst, got.Parts(), err)
		}
	}
}

// What is first of all plans and takes few parts a position must be what is found
// where no more are allowed.
func TestFirstWithFewerParts(t *testing.T) {
	met := [2]int{}
	for seed := range matchtest.Seeds(600) {
		rng := rand.New(rand.NewPCG(seed, 37))
		s, p := randomProblem(t, rng, seed%3 == 0)
		p = matchtest.Resolved(p, rng)
		most := 2 + rng.IntN(2)
		all, err := Plan(t.Context(), s, allowing(p, most))
		for parts := 1; parts < most; parts++ {
			few, failed := Plan(t.Context(), s, allowing(p, parts))
			if err != nil || failed != nil {
				t.Fatal(seed, err, failed)
			}
			same := few.End == match.Exact && few.Key.Compare(&all.Key) == 0
			if all.FirstWith(parts) {
				met[0]++
				if !same {
					t.Fatalf("seed %d: %+v with at most %d parts, %+v with more", seed, few.Key, parts, all.Key)
				}
			} else if !same {
				met[1]++
			}
		}
	}
	if met[0] < 33 || met[1] < 33 {
		t.Errorf("%d plans of few parts, %d of more", met[0], met[1])
	}
}
