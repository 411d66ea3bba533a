package branch

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
)

// first tells by the words of the order alone whether costs a come before costs
// b: the first two that differ by more than counts as equal decide.
func first(a, b []float64) bool {
	for i := range a {
		if math.Abs(a[i]-b[i]) > match.Equal/2 {
			return a[i] < b[i]
		}
	}
	return false
}

// draw returns costs from few values, so that many are equal, the largest first.
func drawCosts(rng *rand.Rand, n int) []float64 {
	costs := make([]float64, n)
	for i := range costs {
		costs[i] = float64(rng.IntN(4))
	}
	slices.Sort(costs)
	slices.Reverse(costs)
	return costs
}

// A search that meets plans in any order must end with the costs that come
// first, and tell whether they were met twice.
func TestOrderKeepsTheFirst(t *testing.T) {
	for seed := range uint64(500) {
		rng := rand.New(rand.NewPCG(seed, 1))
		n := 1 + rng.IntN(5)
		best := drawCosts(rng, n)
		g := anything
		g.order = newOrder(g, best, 0, seed%2 == 0, 0)
		g.top = g.order.levels(nil)
		times := 1
		for range 12 {
			costs := drawCosts(rng, n)
			bound, met := slices.Clone(costs), first(costs, best)
			for i := range bound {
				bound[i] -= 0.5 * float64(rng.IntN(2)) // a bound from below
			}
			slices.Sort(bound)
			slices.Reverse(bound)
			if next, ok := g.ahead(bound); met && (!ok || !next.admits(costs, 0)) {
				t.Fatalf("seed %d: %v is given up by its bound %v; the best is %v", seed, costs, bound, best)
			}
			if got := g.accept(costs, 1, false); got != met {
				t.Fatalf("seed %d: %v accepted %v before %v", seed, costs, got, best)
			}
			switch {
			case met:
				best, times = costs, 1
			case slices.Equal(costs, best):
				times++
			}
			if got := g.order.tied(); got != (times > 1) {
				t.Errorf("seed %d: tied %v where the best was met %d times", seed, got, times)
			}
			for i, top := range g.top {
				if top != best[i]+match.Equal {
					t.Errorf("seed %d: levels %v of the best %v", seed, g.top, best)
				}
			}
		}
	}
}

// What the first errors have been settled to stays, and of plans with equal
// errors only a few are met.
func TestOrderSettled(t *testing.T) {
	g := anything.settled(5 + match.Equal)
	g.parts = 3
	g.order = newOrder(g, []float64{5, 4, 2}, 1, false, 0)
	g.top = g.order.levels(g.top)
	if !slices.Equal(g.top, []float64{5 + match.Equal, 4 + match.Equal, 2 + match.Equal}) {
		t.Fatalf("levels %v", g.top)
	}
	if g.accept([]float64{5, 3, 3}, 4, false) || g.accept([]float64{5.1, 3, 1}, 1, false) || g.accept([]float64{4, 4, 2}, 1, true) || g.order.tied() {
		t.Error("accepts too many parts, a worse worst error, or the best plan again")
	}
	for range fewEquals {
		if _, ok := g.ahead([]float64{5, 4, 2}); !ok {
			t.Error("equal plans are given up too soon")
		}
		g.accept([]float64{4, 4, 2}, 1, false)
	}
	if _, ok := g.ahead([]float64{5, 4, 2}); ok || !g.order.tied() {
		t.Error("equal plans without end")
	}
	if g.order.again(); g.order.tied() || g.order.close {
		t.Error("not ready for another search")
	}
	if !g.accept([]float64{5, 4 - 1.5*match.Equal, 4 - 1.5*match.Equal}, 3, false) || !g.order.close {
		t.Error("what differs by little more than equality calls for no repetition")
	}
}

// What is found smaller must be so by more than rounding, with limits too, and
// never by what counts as different.
func TestBetter(t *testing.T) {
	for _, cost := range []float64{0, 1e-9, 1, 100} {
		for _, limits := range []bool{false, true} {
			if b := better(cost, limits); b >= cost-match.Rounding || b <= cost-match.Equal {
				t.Errorf("better than %v, limits %v: %v", cost, limits, b)
			}
		}
	}
	if !(better(1, true) < better(1, false)) {
		t.Error("nothing is allowed for floors")
	}
}
