package local

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

// costsOf puts networks into all slots and says what every range then costs,
// and with how many parts.
func costsOf(p match.Problem, nets []network.Network) (costs []float64, parts int) {
	values, limits := make([]float64, len(nets)), make([]float64, p.Ranges)
	costs = make([]float64, p.Ranges)
	for i, n := range nets {
		values[i] = n.Value()
		parts += n.Size()
	}
	p.Response.Errors(costs, values)
	if p.Limit != nil {
		p.Limit(nets, limits)
	}
	for r := range costs {
		costs[r] = math.Abs(costs[r]) + limits[r]
	}
	return costs, parts
}

// TestFirstAgainstBruteForce: the branch and bound of boxes finds the first
// choice of all there are for the slots of a meter at once, and nothing that
// comes before that.
func TestFirstAgainstBruteForce(t *testing.T) {
	found, none := 0, 0
	for seed := range matchtest.Seeds(400) {
		rng := rand.New(rand.NewPCG(seed, 54))
		s, parts, p := drawn(t, rng, false)
		slots := make([]int, len(p.Needs))
		for i := range slots {
			slots[i] = i
		}
		var bar match.Key // nothing is filled: everything comes before it
		got, complete := s.First(slots, &bar, 0)
		want, _ := matchtest.BestPlan(parts, p)
		if !complete || (got == nil) != (want.Filled() < len(slots)) {
			t.Fatalf("seed %d: %v, complete %v; want %d filled", seed, got, complete, want.Filled())
		}
		if got == nil {
			none++
			continue
		}
		found++
		costs, of := costsOf(p, got)
		fixed := want.PerRange()
		for r := range costs { // what no slot moves counts for all alike, and not in a box
			if !slices.ContainsFunc(slots, func(i int) bool { return p.Response.Rising(r, i) != 0 }) {
				costs[r], fixed[r] = math.NaN(), math.NaN()
			}
		}
		if matchtest.CompareByWords(p.Order(), costs, fixed, of, want.Parts) != 0 {
			t.Fatalf("seed %d: %+v: costs %v with %d parts; want %v with %d", seed, p.Order(), costs, of, fixed, want.Parts)
		}
		for _, c := range costs {
			if !math.IsNaN(c) {
				bar.Add(p.Order().Tally(c), c)
			}
		}
		bar.Filled, bar.Parts = len(slots), of
		if again, complete := s.First(slots, &bar, 0); again != nil || !complete {
			t.Errorf("seed %d: %v comes before the first, complete %v", seed, again, complete)
		}
	}
	if found < 33 || none < 6 {
		t.Errorf("%d found, %d not: the draw is lopsided", found, none)
	}
}

// TestFirstOfTheSurest does so where limits count, with floors that cut boxes.
func TestFirstOfTheSurest(t *testing.T) {
	for seed := range matchtest.Seeds(200) {
		s, parts, p := drawn(t, rand.New(rand.NewPCG(seed, 55)), true)
		slots := make([]int, len(p.Needs))
		for i := range slots {
			slots[i] = i
		}
		got, complete := s.First(slots, new(match.Key), 0)
		want, _ := matchtest.BestPlan(parts, p)
		if !complete || (got == nil) != (want.Filled() < len(slots)) {
			t.Fatalf("seed %d: %v, complete %v; want %d filled", seed, got, complete, want.Filled())
		}
		if got == nil {
			continue
		}
		costs, of := costsOf(p, got)
		if matchtest.CompareByWords(p.Order(), costs, want.PerRange(), of, want.Parts) != 0 {
			t.Fatalf("seed %d: %+v: costs %v with %d parts; want %v with %d", seed, p.Order(), costs, of, want.PerRange(), want.Parts)
		}
	}
}

// TestFirstWithinSteps: after so many steps it ends, says so, and what it has
// met is a choice.
func TestFirstWithinSteps(t *testing.T) {
	ended := 0
	for seed := range uint64(100) {
		rng := rand.New(rand.NewPCG(seed, 56))
		s, parts, p := drawn(t, rng, false)
		slots := make([]int, len(p.Needs))
		for i := range slots {
			slots[i] = i
		}
		whole, _ := s.First(slots, new(match.Key), 0)
		got, complete := s.First(slots, new(match.Key), 1+rng.IntN(4))
		if complete && !slices.Equal(got, whole) {
			t.Errorf("seed %d: %v is said to be the first; it is %v", seed, got, whole)
		}
		if !complete {
			ended++
		}
		if got != nil {
			s.load(got)
			checkPlan(t, s, parts, p)
		}
	}
	if ended < 20 {
		t.Errorf("only %d ended early", ended)
	}
}
