package match

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// tallyByWords counts a cost by the words of the order, by comparing with one
// bound after the other.
func tallyByWords(o Order, cost float64) (points int, steps float64) {
	if cost <= o.Enough {
		return 0, 0
	}
	for class := o.Class; cost > class; class *= 2 {
		points++
	}
	for (steps+1)*o.Resolution <= cost {
		steps++
	}
	return points, steps
}

// compareByWords says which comes first of costs and parts.
func compareByWords(o Order, a, b []float64, partsA, partsB int) int {
	words := func(costs []float64) (total int, lists [2][]float64) {
		for _, c := range costs {
			p, s := tallyByWords(o, c)
			total += p
			lists[min(p, 1)] = append(lists[min(p, 1)], s)
			lists[1-min(p, 1)] = append(lists[1-min(p, 1)], 0) // counts for nothing there
		}
		for _, l := range lists {
			slices.Sort(l)
			slices.Reverse(l)
		}
		return total, lists
	}
	pa, la := words(a)
	pb, lb := words(b)
	if pa != pb {
		return cmp.Compare(pa, pb)
	}
	for k := range la {
		if c := slices.Compare(la[k], lb[k]); c != 0 {
			return c
		}
	}
	return cmp.Compare(partsA, partsB)
}

func drawOrder(rng *rand.Rand) Order {
	return Order{Class: []float64{1, 1.5, 2.5, 5}[rng.IntN(4)], Resolution: []float64{0.05, 0.5, 1}[rng.IntN(3)], Enough: []float64{0, 0, 0.3, 2, 7}[rng.IntN(5)]}
}

// drawCosts puts costs near the bounds as often as not.
func drawCosts(rng *rand.Rand, o Order) []float64 {
	costs := make([]float64, 1+rng.IntN(5))
	for i := range costs {
		costs[i] = math.Abs(rng.NormFloat64()) * o.Class
		if rng.IntN(2) == 0 {
			costs[i] = math.Round(costs[i]/o.Resolution)*o.Resolution + 0.001*float64(1+rng.IntN(3))
		}
	}
	return costs
}

func keyOf(o Order, costs []float64, parts int) *Key {
	k := &Key{Parts: parts}
	for _, c := range costs {
		k.Add(o.Tally(c), c)
	}
	return k
}

func TestOrderAgainstItsWords(t *testing.T) {
	equal := 0
	for seed := range uint64(20000) {
		rng := rand.New(rand.NewPCG(seed, 1))
		o := drawOrder(rng)
		a := drawCosts(rng, o)
		b := slices.Clone(a)
		rng.Shuffle(len(b), func(i, j int) { b[i], b[j] = b[j], b[i] })
		for range rng.IntN(3) {
			b[rng.IntN(len(b))] = drawCosts(rng, o)[0]
		}
		pa, pb := rng.IntN(2), rng.IntN(2)
		want := compareByWords(o, a, b, pa, pb)
		if got := keyOf(o, a, pa).Compare(keyOf(o, b, pb)); got != want {
			t.Fatalf("seed %d: %+v: %v with %d parts and %v with %d: %d, want %d", seed, o, a, pa, b, pb, got, want)
		}
		if want == 0 {
			equal++
		}
	}
	if equal < 1000 {
		t.Errorf("only %d equal", equal)
	}
}

// Every bound, and the next numbers that are beyond what is forgiven.
func TestTallyBounds(t *testing.T) {
	o := Order{Class: 1.5, Resolution: 0.05, Enough: 0.2}
	for _, c := range []struct {
		cost   float64
		points int
		steps  float64
	}{
		{0, 0, 0}, {0.2, 0, 0}, {0.2 * (1 + 0.9e-9), 0, 0}, {0.2 * (1 + 1.1e-9), 0, 4}, {0.25 * (1 - 1.1e-9), 0, 4}, {0.25 * (1 - 0.9e-9), 0, 5},
		{1.5, 0, 30}, {1.5 * (1 + 0.9e-9), 0, 30}, {1.5 * (1 + 1.1e-9), 1, 30}, {3, 1, 60}, {3 * (1 + 1.1e-9), 2, 60}, {6, 2, 120}, {6.1, 3, 122}, {12, 3, 240}, {96.1, 7, 1922},
	} {
		if got := o.Tally(c.cost); got != (Tally{c.points, c.steps}) {
			t.Errorf("%v counts for %+v, want %d points and %v steps", c.cost, got, c.points, c.steps)
		}
	}
	if got := (Order{Class: 1, Enough: 1}).Tally(7); got != (Tally{0, 7}) {
		t.Errorf("without a resolution: %+v", got)
	}
}

// What a range may cost at most: a little less comes before the other plan, a
// little more does not.
func TestMost(t *testing.T) {
	met := map[bool]int{}
	for seed := range uint64(50000) {
		rng := rand.New(rand.NewPCG(seed, 2))
		o := drawOrder(rng)
		a, b := drawCosts(rng, o), drawCosts(rng, o)
		if rng.IntN(2) == 0 {
			b = slices.Clone(a)
			b[rng.IntN(len(b))] += o.Resolution * rng.Float64() * 3
		}
		pa, pb := rng.IntN(2), rng.IntN(2)
		i := rng.IntN(len(a))
		other := keyOf(o, b, pb)
		most := o.Most(keyOf(o, a, pa), o.Tally(a[i]), other)
		with := func(cost float64) bool {
			c := slices.Clone(a)
			c[i] = cost
			k := keyOf(o, c, pa)
			k.Whole = other.Whole
			return k.Compare(other) < 0
		}
		if most >= 0 && !with(most*(1-1e-8)) {
			t.Fatalf("seed %d: %+v: %v with %d parts, range %d at %v, does not come before %v with %d", seed, o, a, pa, i, most, b, pb)
		}
		if more := max(most*(1+1e-8), 0); !math.IsInf(most, 1) && with(more) {
			t.Fatalf("seed %d: %+v: %v with %d parts, range %d at %v, comes before %v with %d; it may cost %v", seed, o, a, pa, i, more, b, pb, most)
		}
		met[most >= 0]++
	}
	if met[true] < 1000 || met[false] < 1000 {
		t.Errorf("hardly tested: %v", met)
	}
}

// Without a resolution what costs more than that never comes before the other
// plan, ties within Equal included.
func TestMostWithoutResolution(t *testing.T) {
	bounded := 0
	for seed := range uint64(50000) {
		rng := rand.New(rand.NewPCG(seed, 3))
		o := Order{Class: 5, Enough: []float64{0, 0.3, 2}[rng.IntN(3)]}
		a := make([]float64, 1+rng.IntN(5))
		for i := range a {
			a[i] = float64(rng.IntN(4)) + 0.4e-9*float64(rng.IntN(4))
		}
		b := slices.Clone(a)
		for range rng.IntN(3) {
			b[rng.IntN(len(b))] = float64(rng.IntN(4)) + 0.4e-9*float64(rng.IntN(4))
		}
		pa, pb, i := rng.IntN(2), rng.IntN(2), rng.IntN(len(a))
		other := keyOf(o, b, pb)
		most := o.Most(keyOf(o, a, pa), o.Tally(a[i]), other)
		for _, more := range []float64{1e-12, 1e-9, 0.5, 2} {
			c := slices.Clone(a)
			c[i] = max(most, a[i]) + more
			if k := keyOf(o, c, pa); k.Compare(other) < 0 {
				t.Fatalf("seed %d: enough %v: %v with %d parts comes before %v with %d; range %d may cost %v", seed, o.Enough, c, pa, b, pb, i, most)
			}
		}
		if most >= 0 {
			bounded++
		}
	}
	if bounded < 1000 {
		t.Errorf("only %d may cost anything", bounded)
	}
}
