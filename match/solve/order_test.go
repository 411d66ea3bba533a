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
	want := matchtest.FirstPlan(s.Parts(), p)
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
	for seed := range uint64(2000) {
		rng := rand.New(rand.NewPCG(seed, 31))
		s, p := randomProblem(t, rng, seed%3 == 0)
		p.Class, p.Resolution = 1+20*rng.Float64(), []float64{0.05, 1, 4}[rng.IntN(3)]
		p.Resolution = min(p.Resolution, p.Class)
		checkOrder(t, s, p)
		if t.Failed() {
			t.Fatal("seed", seed)
		}
	}
}

// resolved gives a drawn problem a class and a resolution.
func resolved(p match.Problem, rng *rand.Rand) match.Problem {
	p.Class, p.Resolution = 1+20*rng.Float64(), []float64{0.05, 1, 4}[rng.IntN(3)]
	p.Resolution = min(p.Resolution, p.Class)
	return p
}

// With limits, whether a floor helps the proof or not.
func TestOrderOfTheSurestAgainstBruteForce(t *testing.T) {
	for seed := range uint64(1000) {
		rng := rand.New(rand.NewPCG(seed, 32))
		s, p := randomProblem(t, rng, seed%3 == 0)
		p = resolved(p, rng)
		d := partDoubts{of: p.Response.(*matchtest.Linear)}
		for range s.Len() {
			d.percent = append(d.percent, []float64{0.1, 1, 5}[rng.IntN(3)])
		}
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
	for seed := range uint64(1000) {
		rng := rand.New(rand.NewPCG(seed, 33))
		c := matchtest.Draw(rng, seed%3 == 0)
		p := resolved(problemOf(c), rng)
		parts := matchtest.Parts(c.Values)
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

// drawMeter draws a meter with circuits of every kind that matchtest knows, and a drawer for it that is small enough for brute force.
func drawMeter(t *testing.T, rng *rand.Rand) (*enumerate.Stock, match.Problem) {
	kinds := [][]matchtest.Circuit{
		{{Kind: matchtest.Ring, Full: []float64{2e-3, 10e-3}}, {Kind: matchtest.Shunt, Full: []float64{5e-3}}},
		{{Kind: matchtest.Ring, Full: []float64{2e-3, 10e-3, 40e-3}}},
		{{Kind: matchtest.Chain, Full: []float64{1, 5}}, {Kind: matchtest.Multiplier, Full: []float64{2}}},
		{{Kind: matchtest.Chain, Full: []float64{1, 3, 10}}},
		{{Kind: matchtest.Ring, Full: []float64{2e-3, 10e-3}}, {Kind: matchtest.Chain, Full: []float64{1, 5}}},
		{{Kind: matchtest.Shunt, Full: []float64{2e-3, 3e-3}}, {Kind: matchtest.Multiplier, Full: []float64{1}}},
	}
	m := matchtest.NewMeter(1e-3, 100, kinds[rng.IntN(len(kinds))]...)
	values := make([]float64, 5+rng.IntN(4-len(m.Targets)/4*2))
	for i := range values {
		values[i] = m.Targets[rng.IntN(len(m.Targets))] * math.Exp(1.4*(rng.Float64()-0.5))
		if i > 0 && rng.IntN(4) == 0 {
			values[i] = values[i-1]
		}
	}
	p := match.Problem{Ranges: len(m.Targets), Response: m}
	for _, target := range m.Targets {
		n := matchtest.Need(target, 1+rng.IntN(2))
		if n.Within = 0.1 + rng.Float64(); rng.IntN(5) == 0 {
			n.Keep, n.KeepBears = target*(0.8+0.6*rng.Float64()), math.Inf(1)
		}
		p.Needs = append(p.Needs, n)
	}
	if rng.IntN(3) == 0 {
		p.Enough = 5 * rng.Float64()
	}
	return stockOf(t, values...), resolved(p, rng)
}

func TestOrderOfMetersAgainstBruteForce(t *testing.T) {
	for seed := range uint64(250) {
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
		p := problemOf(matchtest.Separate(values, targets, 1+rng.IntN(2)*rng.IntN(2), 0.1+0.6*rng.Float64()))
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
