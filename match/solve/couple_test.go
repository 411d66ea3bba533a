package solve

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

// partDoubts are limits that grow with what is not known of a network's parts;
// some parts are known well, others badly.
type partDoubts struct {
	percent []float64 // of each part
	of      *matchtest.Linear
}

func (d partDoubts) Limit(nets []network.Network, dst []float64) {
	for r := range dst {
		dst[r] = 0.1
		for s, n := range nets {
			dst[r] += d.size(n) * math.Abs(d.of.Weights[r][s])
		}
	}
}

func (d partDoubts) size(n network.Network) float64 {
	sum := 0.0
	for _, part := range n.Parts() {
		sum += d.percent[part]
	}
	return sum
}

func (d partDoubts) Attributes(dst []float64, _ int, n network.Network) []float64 {
	return append(dst, d.size(n))
}

func (d partDoubts) Floor(r int, box *match.Box) float64 {
	floor := 0.1
	for s := range box.Least {
		floor += box.Least[s][0] * math.Abs(d.of.Weights[r][s])
	}
	return floor
}

// The surest plan of coupled positions is that of brute force, the whole order
// of it, whether a floor helps the proof or not.
func TestPlanSurestAgainstBruteForce(t *testing.T) {
	others := 0
	for seed := range uint64(600) {
		rng := rand.New(rand.NewPCG(seed, 23))
		s, p := randomProblem(t, rng, false)
		d := partDoubts{of: p.Response.(*matchtest.Linear)}
		for range s.Len() {
			d.percent = append(d.percent, []float64{0.1, 1, 5}[rng.IntN(3)])
		}
		before, _ := brutePlan(s, p)
		if p.Limit = d.Limit; rng.IntN(3) > 0 {
			p.LimitFloor = d
		}
		comparePlan(t, s, p)
		if t.Failed() {
			t.Fatal("seed", seed)
		}
		if after, _ := brutePlan(s, p); !slices.Equal(before.Chosen, after.Chosen) {
			others++
		}
	}
	if others < 50 {
		t.Errorf("only %d surest plans differ from the one that looks best", others)
	}
}
