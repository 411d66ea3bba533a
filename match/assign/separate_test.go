package assign

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

func newPlanner(t *testing.T, ctx context.Context, parts []match.Part, p match.Problem) *objective.Objective {
	t.Helper()
	s, err := enumerate.NewStock(parts)
	if err != nil {
		t.Fatal(err)
	}
	return objective.New(ctx, s, p)
}

// isBest compares a plan of so many listed networks with that of brute force, part
// by part.
func isBest(t *testing.T, seed uint64, parts []match.Part, p match.Problem, want matchtest.Plan, nets [][]network.Network, listed int) {
	t.Helper()
	got, err := Plan(newPlanner(t, t.Context(), parts, p), listed)
	if err != nil || got.End != match.Exact {
		t.Fatalf("seed %d: %v, error %v", seed, got.End, err)
	}
	for i, k := range want.Chosen {
		var set []int
		if k >= 0 {
			set = nets[i][k].Parts()
		}
		if !slices.Equal(got.Networks[i].Parts(), set) {
			t.Fatalf("seed %d, %d listed: position %d has parts %v, want %v", seed, listed, i, got.Networks[i].Parts(), set)
		}
	}
}

// However many are listed, the plan is that of brute force, part by part.
func TestPlanAgainstBruteForce(t *testing.T) {
	for seed := range uint64(100) {
		values, p := matchtest.Draw(rand.New(rand.NewPCG(seed, 31)), true)
		parts := matchtest.Parts(values)
		want, nets := matchtest.BestPlan(parts, p)
		for _, listed := range []int{1, 3, Listed} {
			isBest(t, seed, parts, p, want, nets, listed)
		}
	}
}

// One slot is out of reach, and the others go by fewer parts all the same.
func TestPlanWithHopelessSlotAgainstBruteForce(t *testing.T) {
	hopeless := 0
	for seed := range matchtest.Seeds(300) {
		rng := rand.New(rand.NewPCG(seed, 32))
		values, p := matchtest.Draw(rng, true)
		p.Needs[0].Target *= 4
		p.Needs[0].Within = 1
		p.Response.(*matchtest.Linear).Targets[0] = p.Needs[0].Target
		p.Enough = 5 + 20*rng.Float64()
		parts := matchtest.Parts(values)
		want, nets := matchtest.BestPlan(parts, p)
		if worst := append(want.Costs(), 0)[0]; worst > p.Enough {
			hopeless++
		}
		for _, listed := range []int{1, 3} {
			isBest(t, seed, parts, p, want, nets, listed)
		}
	}
	if hopeless < 33 {
		t.Errorf("only %d are out of reach", hopeless)
	}
}

// crowded is a problem of many networks.
func crowded() ([]match.Part, match.Problem) {
	return matchtest.Parts(matchtest.Values(60, 1)), matchtest.Separate(matchtest.Spread(12), 3, 0.2)
}

// Few networks tell what is the best choice of many, even where one position
// has nothing near its target: its error does not make the others' lists long.
func TestFewAreListed(t *testing.T) {
	parts, p := crowded()
	for _, hopeless := range []bool{false, true} {
		if hopeless {
			p.Needs[5].Target, p.Needs[5].Within = 0.9e-3*p.Needs[5].Target, 1e6
			p.Response.(*matchtest.Linear).Targets[5] = p.Needs[5].Target
		}
		looked := 0
		p.Limit = func(_ []network.Network, dst []float64) { looked++; clear(dst) }
		pl := newPlanner(t, t.Context(), parts, p)
		got, err := Plan(pl, Listed)
		if err != nil || got.End != match.Exact || math.IsNaN(got.Worst) || hopeless != (got.Worst > 1) {
			t.Errorf("%v, worst %v, error %v", got.End, got.Worst, err)
		}
		if most := 6000; looked > most {
			t.Errorf("%d networks judged, want at most %d", looked, most)
		}
	}
}

func TestInterrupted(t *testing.T) {
	parts, p := crowded()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	got, err := Plan(newPlanner(t, ctx, parts, p), Listed)
	if err != nil || got.End != match.Interrupted || got.Proven || got.Bound > got.Worst {
		t.Errorf("before the start: %+v, error %v", got, err)
	}
	ctx, cancel = context.WithCancel(t.Context())
	p.Progress = func(match.Progress) { cancel() }
	got, err = Plan(newPlanner(t, ctx, parts, p), Listed)
	if err != nil || got.End == match.Exact || slices.Contains(got.Filled, false) || got.Bound > got.Worst {
		t.Errorf("at the first question: %+v, error %v", got, err)
	}
}

// TestEqualCostsFarApart: a single part and a pair whose costs differ by less
// than match.Equal are equal, however far apart their values count as: a range
// that they move by a twentieth only. The pair is nearer and listed first, the
// part is what is wanted.
func TestEqualCostsFarApart(t *testing.T) {
	const apart = 0.8 * match.Equal
	r := &matchtest.Linear{Targets: []float64{100}, Weights: [][]float64{{0.05}}, Offset: []float64{0}}
	parts := matchtest.Parts([]float64{60, 40.1, 100.1 + apart/0.05, 7})
	p := match.Problem{Ranges: 1, Response: r, Needs: []match.Need{matchtest.Need(100, 2)}}
	for _, listed := range []int{1, 2, Listed} {
		got, err := Plan(newPlanner(t, t.Context(), parts, p), listed)
		if err != nil || got.End != match.Exact || !slices.Equal(got.Networks[0].Parts(), []int{2}) {
			t.Errorf("%d listed: parts %v, %v, error %v; want the single part", listed, got.Networks[0].Parts(), got.End, err)
		}
	}
}
