package solve

import (
	"math"
	"math/rand/v2"
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

// overSeeds runs a test with the random numbers of every seed, up to the first that
// fails.
func overSeeds(t *testing.T, seeds, stream uint64, test func(seed uint64, rng *rand.Rand)) {
	t.Helper()
	for seed := range seeds {
		test(seed, rand.New(rand.NewPCG(seed, stream)))
		if t.Failed() {
			t.Fatal("seed", seed)
		}
	}
}

// checkOrder holds a plan against all plans, by the words of the order, and returns
// both, with the networks that there are to choose from.
func checkOrder(t *testing.T, s *enumerate.Stock, p match.Problem) (got match.Plan, want matchtest.Plan, nets [][]network.Network) {
	t.Helper()
	got, err := Plan(t.Context(), s, p)
	if err != nil || got.End != match.Exact || !got.Proven {
		t.Fatalf("%v, error %v", got.End, err)
	}
	checkPlan(t, s, p, got)
	want, nets = matchtest.BestPlan(s.Parts(), p)
	limits := make([]float64, p.Ranges)
	if p.Limit != nil {
		p.Limit(got.Networks, limits)
	}
	costs := make([]float64, p.Ranges)
	for r, e := range got.Errors {
		costs[r] = math.Abs(e) + limits[r]
	}
	if got.Key.Filled != want.Filled() || matchtest.CompareByWords(p.Order(), costs, want.PerRange(), got.Parts(), want.Parts) != 0 {
		t.Fatalf("%+v: %d filled, costs %v with %d parts; want %d, %v with %d", p.Order(), got.Key.Filled, costs, got.Parts(), want.Filled(), want.PerRange(), want.Parts)
	}
	return got, want, nets
}

func TestOrderAgainstBruteForce(t *testing.T) {
	for _, test := range []struct {
		what          string
		seeds, stream uint64
		draw          func(t *testing.T, seed uint64, rng *rand.Rand) (*enumerate.Stock, match.Problem)
	}{
		{"any response", matchtest.Seeds(2000), 31, func(t *testing.T, seed uint64, rng *rand.Rand) (*enumerate.Stock, match.Problem) {
			s, p := randomProblem(t, rng, seed%3 == 0)
			return s, matchtest.Resolved(p, rng)
		}},
		{"the surest", matchtest.Seeds(1000), 32, drawSurest},
		{"with ratings", matchtest.Seeds(1000), 33, drawRated},
		{"meters", matchtest.Seeds(250), 34, func(t *testing.T, _ uint64, rng *rand.Rand) (*enumerate.Stock, match.Problem) {
			return drawMeter(t, rng)
		}},
		{"scarce parts", 80, 36, drawScarce},
	} {
		t.Run(test.what, func(t *testing.T) {
			overSeeds(t, test.seeds, test.stream, func(seed uint64, rng *rand.Rand) {
				s, p := test.draw(t, seed, rng)
				checkOrder(t, s, p)
			})
		})
	}
}

// drawSurest draws a problem with limits, whether a floor helps the proof or not.
func drawSurest(t *testing.T, seed uint64, rng *rand.Rand) (*enumerate.Stock, match.Problem) {
	s, p := randomProblem(t, rng, seed%3 == 0)
	p = matchtest.Resolved(p, rng)
	d := matchtest.DrawDoubts(rng, s.Len(), p.Response)
	if p.Limit = d.Limit; rng.IntN(3) > 0 {
		p.LimitFloor = d
	}
	return s, p
}

// drawRated draws a problem with ratings that some parts do not bear.
func drawRated(t *testing.T, seed uint64, rng *rand.Rand) (*enumerate.Stock, match.Problem) {
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
	return s, p
}

// drawMeter is a meter of matchtest with its drawer.
func drawMeter(t *testing.T, rng *rand.Rand) (*enumerate.Stock, match.Problem) {
	values, p := matchtest.DrawMeter(rng)
	return stockOf(t, values...), p
}

// drawScarce draws many positions that want the same few parts.
func drawScarce(t *testing.T, _ uint64, rng *rand.Rand) (*enumerate.Stock, match.Problem) {
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
	return stockOf(t, values...), p
}
