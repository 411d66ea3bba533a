package enumerate

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

// everyNetwork lists all networks a need allows, in the slow and obvious way.
func everyNetwork(s *Stock, n match.Need) []network.Network { return matchtest.Every(s.Parts(), n) }

// ranked is a network with what it is ranked by: first its class, then its score.
type ranked struct {
	c     match.Choice
	class [2]int // steps and parts, where these come before the score
	score float64
}

// classOf counts the last steps one by one.
func classOf(q match.Query, n network.Network, score float64) [2]int {
	switch {
	case score <= q.Enough && q.Enough > 0:
		return [2]int{0, n.Size()}
	case q.Resolution == 0:
		return [2]int{1, 0}
	}
	steps := max(0, int(score/q.Resolution)-2) // at least; from there
	for float64(steps+1)*q.Resolution <= score*(1+1e-9) {
		steps++
	}
	return [2]int{steps, n.Size()}
}

// brutePick ranks every network.
func brutePick(s *Stock, q match.Query) []match.Choice {
	var all []ranked
	for _, n := range everyNetwork(s, q.Need) {
		r := ranked{c: match.Choice{Network: n, Error: (n.Value() - q.Target) / q.Target}}
		r.score = math.Abs(r.c.Error)
		if r.score > q.Within+1e-12 {
			continue
		}
		if q.Limit != nil {
			r.score += q.Limit(n) / q.Target
		}
		r.class = classOf(q, n, r.score)
		all = append(all, r)
	}
	slices.SortFunc(all, func(a, b ranked) int {
		return cmp.Or(slices.Compare(a.class[:], b.class[:]), cmp.Compare(a.score, b.score))
	})
	var out []match.Choice
	for len(all) > 0 && len(out) < q.Top {
		same := 0
		for same < len(all) && all[same].class == all[0].class && all[same].score < all[0].score+1e-11 {
			same++
		}
		slices.SortFunc(all[:same], func(a, b ranked) int { return network.Compare(a.c.Network, b.c.Network) })
		for _, r := range all[:same] {
			out = append(out, r.c)
		}
		all = all[same:]
	}
	return out[:min(len(out), q.Top)]
}

func need(target float64, atMost int) match.Need { return matchtest.Need(target, atMost) }

func stockOf(t testing.TB, values ...float64) *Stock {
	t.Helper()
	s, err := NewStock(matchtest.Parts(values))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// randomQuery draws a small stock and a query of any kind. Values come from a
// short list as often as not, so that ties abound.
func randomQuery(t testing.TB, rng *rand.Rand) (*Stock, match.Query) {
	preferred := []float64{10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82, 100}
	exact := rng.IntN(2) == 0
	value := func() float64 {
		if exact {
			return preferred[rng.IntN(len(preferred))]
		}
		return math.Exp(2*rng.NormFloat64()) * 20
	}
	q := match.Query{Need: need(value()*(0.3+float64(rng.IntN(30))/10), 1+rng.IntN(4)), Top: 1 + rng.IntN(12)}
	most := []int{0, 12, 12, 9, 7}[q.AtMost]
	parts := make([]match.Part, 1+rng.IntN(most))
	for i := range parts {
		parts[i] = match.Part{Value: value(), Bears: math.Inf(1)}
		if rng.IntN(2) == 0 {
			parts[i].Bears = 0.5 + rng.Float64()
		}
	}
	if rng.IntN(3) == 0 {
		q.Keep, q.KeepBears = value(), 0.5+rng.Float64()
	}
	if rng.IntN(3) == 0 {
		q.Within = 0.001 + rng.Float64()/2
	}
	if rng.IntN(3) == 0 {
		q.Flow = 1.2 * rng.Float64()
	}
	if rng.IntN(3) == 0 {
		q.Drop = 1.2 * rng.Float64() * q.Target
	}
	if rng.IntN(3) == 0 {
		q.Limit = func(n network.Network) float64 {
			sum := 0
			for _, p := range n.Parts() {
				sum += p*p%7 + 1
			}
			return q.Target*0.002 + float64(sum)*0.0003*q.Target
		}
		q.LimitFloor = float64(rng.IntN(2)) * 0.002
	}
	if rng.IntN(2) == 0 {
		q.Resolution = []float64{1e-5, 0.001, 0.01, 0.25}[rng.IntN(4)]
	}
	if rng.IntN(4) == 0 {
		q.Enough = []float64{1e-6, 0.002, 0.02, 0.3}[rng.IntN(4)]
	}
	s, err := NewStock(parts)
	if err != nil {
		t.Fatal(err)
	}
	return s, q
}

func comparePick(t testing.TB, s *Stock, q match.Query) {
	t.Helper()
	got, err := s.Pick(t.Context(), q)
	if err != nil || !got.Proven {
		t.Fatalf("proven %v, error %v", got.Proven, err)
	}
	want := brutePick(s, q)
	if len(got.Choices) != len(want) {
		t.Fatalf("%d choices, want %d", len(got.Choices), len(want))
	}
	for i := range want {
		if got.Choices[i].Network != want[i].Network || got.Choices[i].Error != want[i].Error {
			t.Fatalf("choice %d: %v %.17g, want %v %.17g\nparts %v\nquery %+v", i, got.Choices[i].Network.Tree(), got.Choices[i].Error,
				want[i].Network.Tree(), want[i].Error, s.Parts(), q)
		}
	}
}

func TestPickAgainstBruteForce(t *testing.T) {
	for seed := range matchtest.Seeds(600) {
		s, q := randomQuery(t, rand.New(rand.NewPCG(seed, 2)))
		comparePick(t, s, q)
		if t.Failed() {
			t.Fatal("seed", seed)
		}
	}
}

func FuzzPick(f *testing.F) {
	f.Add(uint64(1), uint64(1))
	f.Add(uint64(1<<40), uint64(77))
	f.Fuzz(func(t *testing.T, a, b uint64) {
		s, q := randomQuery(t, rand.New(rand.NewPCG(a, b)))
		comparePick(t, s, q)
	})
}
