package solve

import (
	"math"
	"math/rand/v2"
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
)

// checkOrder holds a plan against all plans, by the words of the order.
func checkOrder(t *testing.T, s *enumerate.Stock, p match.Problem) match.Plan {
	t.Helper()
	got, err := Plan(t.Context(), s, p)
	if err != nil || got.End != match.Exact || !got.Proven {
		t.Fatalf("%v, error %v", got.End, err)
	}
	checkPlan(t, s, p, got)
	want, _ := matchtest.BestPlan(s.Parts(), p)
	limits := make([]float64, p.Ranges)
	if p.Limit != nil {
		p.Limit(got.Networks, limits)
	}
	costs := make([]float64, p.Ranges)
	for r, e := range got.Errors {
		costs[r] = math.Abs(e) + limits[r]
	}
	filled := 0
	for _, f := range got.Filled {
		if f {
			filled++
		}
	}
	if filled != want.Filled() || matchtest.CompareByWords(p.Order(), costs, want.PerRange(), got.Parts(), want.Parts) != 0 {
		t.Fatalf("%+v: %d filled, costs %v with %d parts; want %d, %v with %d", p.Order(), filled, costs, got.Parts(), want.Filled(), want.PerRange(), want.Parts)
	}
	return got
}

func TestOrderAgainstBruteForce(t *testing.T) {
	for seed := range matchtest.Seeds(2000) {
		rng := rand.New(rand.NewPCG(seed, 31))
		s, p := randomProblem(t, rng, seed%3 == 0)
		checkOrder(t, s, matchtest.Resolved(p, rng))
		if t.Failed() {
			t.Fatal("seed", seed)
		}
	}
}

// With limits, whether a floor helps the proof or not.
func TestOrderOfTheSurestAgainstBruteForce(t *testing.T) {
	for seed := range matchtest.Seeds(1000) {
		rng := rand.New(rand.NewPCG(seed, 32))
		s, p := randomProblem(t, rng, seed%3 == 0)
		p = matchtest.Resolved(p, rng)
		d := matchtest.DrawDoubts(rng, s.Len(), p.Response)
		if p.Limit = d.Limit; rng.IntN(3) > 0 {
			p.LimitFloor = d
		}
		checkOrder(t, s, p)
		if t.Failed() {
			t.Fatal("seed", seed)
		}
	}
}

// With ratings that some parts do not bear.
func TestOrderWithRatingsAgainstBruteForce(t *testing.T) {
	for seed := range matchtest.Seeds(1000) {
		rng := rand.New(rand.NewPCG(seed, 33))
		values, p := matchtest.Draw(rng, seed%3 == 0)
		p = matchtest.Resolved(p, rng)
		parts := matchtest.Parts(values)
		for i := range parts {
			if rng.IntN(2) == 0 {
				parts[i].Bears = 0.5 + rng.Float64()
			}
		}
		for i := range p.Needs {
			switch rng.IntN(3) {
			case 0:
				p.Needs[i].Flow = 2 * rng.Float64()
			case 1:
				p.Needs[i].Drop = 2 * rng.Float64() * p.Needs[i].Target
			}
		}
		s, err := enumerate.NewStock(parts)
		if err != nil {
			t.Fatal(err)
		}
		checkOrder(t, s, p)
		if t.Failed() {
			t.Fatal("seed", seed)
		}
	}
}

// drawMeter is a meter of matchtest with its drawer.
func drawMeter(t *testing.T, rng *rand.Rand) (*enumerate.Stock, match.Problem) {
	values, p := matchtest.DrawMeter(rng)
	return stockOf(t, values...), p
}

func TestOrderOfMetersAgainstBruteForce(t *testing.T) {
	for seed := range matchtest.Seeds(250) {
		s, p := drawMeter(t, rand.New(rand.NewPCG(seed, 34)))
		checkOrder(t, s, p)
		if t.Failed() {
			t.Fatal("seed", seed)
		}
	}
}

// Many positions that want the same few parts.
func TestOrderOfScarcePartsAgainstBruteForce(t *testing.T) {
	for seed := range uint64(80) {
		rng := rand.New(rand.NewPCG(seed, 36))
		n := 4 + rng.IntN(2)
		values, targets := make([]float64, n+rng.IntN(3)), make([]float64, n)
		for i := range values {
			values[i] = 10 + 10*rng.Float64()
		}
		for i := range targets {
			targets[i] = 10 + 10*rng.Float64()
			if rng.IntN(4) == 0 {
				targets[i] *= 2
			}
		}
		p := matchtest.Separate(targets, 1+rng.IntN(2)*rng.IntN(2), 0.1+0.6*rng.Float64())
		if rng.IntN(3) == 0 {
			p.Response.(*matchtest.Linear).Weights[0][1] = rng.Float64() - 0.5
		}
		p.Class, p.Resolution = 1+10*rng.Float64(), 1
		checkOrder(t, stockOf(t, values...), p)
		if t.Failed() {
			t.Fatal("seed", seed)
		}
	}
}
