package local

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

// drawn is a search for a meter with circuits of any kind, or an invented
// response, and its problem; limits count in some, with a floor or without.
func drawn(t *testing.T, rng *rand.Rand, limits bool) (*Search, []match.Part, match.Problem) {
	t.Helper()
	values, p := matchtest.DrawMeter(rng)
	if rng.IntN(3) == 0 {
		values, p = matchtest.Draw(rng, rng.IntN(2) == 0)
		p = matchtest.Resolved(p, rng)
	}
	if rng.IntN(4) == 0 {
		p.Resolution = 0
	}
	parts := matchtest.Parts(values)
	for i := range parts {
		if rng.IntN(8) == 0 {
			parts[i].Bears = 0.5
		}
	}
	for i := range p.Needs {
		if rng.IntN(4) == 0 {
			p.Needs[i].Flow = 0.6
		}
	}
	if limits {
		d := matchtest.DrawDoubts(rng, len(values), p.Response)
		if p.Limit = d.Limit; rng.IntN(4) > 0 {
			p.LimitFloor = d
		}
	}
	return searchOf(t, t.Context(), parts, p), parts, p
}

func searchOf(t *testing.T, ctx context.Context, parts []match.Part, p match.Problem) *Search {
	t.Helper()
	stock, err := enumerate.NewStock(parts)
	if err != nil {
		t.Fatal(err)
	}
	return New(objective.New(ctx, stock, p))
}

// checkPlan: every network is one that its need allows, no part is in two, and
// the key is that of the plan.
func checkPlan(t *testing.T, s *Search, parts []match.Part, p match.Problem) {
	t.Helper()
	filled, of := 0, 0
	for i, n := range s.Networks() {
		if n.IsZero() {
			continue
		}
		filled++
		of += n.Size()
		if !slices.Contains(matchtest.Every(parts, p.Needs[i]), n) || math.Abs(n.Value()/p.Needs[i].Target-1) > p.Needs[i].Within*(1+1e-9) {
			t.Errorf("slot %d: %v of %v is not allowed by %+v", i, n.Parts(), n.Value(), p.Needs[i])
		}
	}
	matchtest.CheckPlan(t, p, len(parts), s.Networks(), nil)
	if k := s.Key(); k.Filled != filled || k.Parts != of {
		t.Errorf("key %+v of %d filled with %d parts", k, filled, of)
	}
}

// TestNoRefitComesEarlier: no refit of one slot with the parts that are free,
// nor of two of a circuit by networks of up to two parts, comes before the
// plan; every one of them is tried.
func TestNoRefitComesEarlier(t *testing.T) {
	for seed := range matchtest.Seeds(400) {
		s, parts, p := drawn(t, rand.New(rand.NewPCG(seed, 51)), seed%3 == 0)
		s.Run()
		checkPlan(t, s, parts, p)
		if better := matchtest.Refit(parts, p, s.Networks()); better != nil {
			t.Fatalf("seed %d: %v is bettered by %v", seed, s.Networks(), better)
		}
		if t.Failed() {
			t.Fatal("seed", seed)
		}
	}
}

// TestStart fills whatever can be filled from the parts that are left, and
// takes no part twice; nothing is better than what Polish makes of it.
func TestStart(t *testing.T) {
	bettered := 0
	for seed := range matchtest.Seeds(200) {
		s, parts, p := drawn(t, rand.New(rand.NewPCG(seed, 52)), false)
		s.start()
		checkPlan(t, s, parts, p)
		used := map[int]bool{}
		for _, n := range s.nets {
			for _, part := range n.Parts() {
				used[part] = true
			}
		}
		for i, n := range p.Needs {
			can := slices.ContainsFunc(matchtest.Every(parts, n), func(net network.Network) bool {
				return net.Size() <= fewParts && math.Abs(net.Value()/n.Target-1) <= n.Within && !slices.ContainsFunc(net.Parts(), func(part int) bool { return used[part] })
			})
			if can && s.nets[i].IsZero() {
				t.Errorf("seed %d: slot %d is open, and parts for it are free", seed, i)
			}
		}
		before := s.Key()
		s.Polish()
		switch after := s.Key(); after.CompareAll(&before) {
		case +1:
			t.Errorf("seed %d: %+v is made of %+v", seed, after, before)
		case -1:
			bettered++
		}
	}
	if bettered < 10 {
		t.Errorf("only %d bettered", bettered)
	}
}

// TestTryKeepsTheBetter starts from networks that may take parts twice: what
// comes of it is a plan, and never later than the one before.
func TestTryKeepsTheBetter(t *testing.T) {
	taken := 0
	for seed := range matchtest.Seeds(200) {
		rng := rand.New(rand.NewPCG(seed, 53))
		s, parts, p := drawn(t, rng, seed%3 == 0)
		if seed%2 == 0 {
			s.Polish()
		}
		for range 5 {
			nets := make([]network.Network, len(p.Needs))
			for i, n := range p.Needs {
				if every := matchtest.Every(parts, n); rng.IntN(4) > 0 && len(every) > 0 {
					if net := every[rng.IntN(len(every))]; math.Abs(net.Value()/n.Target-1) <= n.Within {
						nets[i] = net
					}
				}
			}
			before, old := s.Key(), s.Networks()
			better := s.Try(nets)
			checkPlan(t, s, parts, p)
			after := s.Key()
			if c := after.CompareAll(&before); c > 0 || better != (c < 0) || !better && !slices.Equal(old, s.Networks()) {
				t.Fatalf("seed %d: said better %v, from %+v to %+v", seed, better, before, after)
			}
			if better {
				taken++
			}
		}
	}
	if taken < 7 {
		t.Errorf("only %d were better", taken)
	}
}

// TestTakeFromAnother: the only part for the second slot is in the first, where
// another one does as well. No refit of one slot finds that.
func TestTakeFromAnother(t *testing.T) {
	p := matchtest.Separate([]float64{100, 102}, 1, 0.03)
	p.Needs[0].Within, p.Class, p.Resolution = 0.5, 50, 0.05
	parts := matchtest.Parts([]float64{101, 130})
	s := searchOf(t, t.Context(), parts, p)
	one, err := enumerate.NewStock(parts)
	if err != nil {
		t.Fatal(err)
	}
	got, err := one.Pick(t.Context(), match.Query{Need: matchtest.Need(101, 1), Top: 1})
	if err != nil {
		t.Fatal(err)
	}
	s.load([]network.Network{got.Choices[0].Network, {}})
	if s.refit(1) {
		t.Error("the first slot's part is free")
	}
	if s.Polish(); s.Key().Filled != 2 {
		t.Errorf("%v", s.Networks())
	}
	checkPlan(t, s, parts, p)
}
