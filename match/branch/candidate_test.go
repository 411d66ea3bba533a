package branch

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// draw returns so many candidates with up to three of so many parts each,
// values and parts in order.
func drawCandidates(rng *rand.Rand, n, parts int) []Candidate {
	list := make([]Candidate, n)
	for i := range list {
		var own []int32
		for _, p := range rng.Perm(parts)[:rng.IntN(4)] {
			own = append(own, int32(p))
		}
		slices.Sort(own)
		list[i] = Candidate{Value: float64(rng.IntN(20)), Parts: own, Attributes: []float64{rng.Float64(), float64(i)}}
	}
	slices.SortStableFunc(list, func(a, b Candidate) int { return cmp.Compare(a.Value, b.Value) })
	return list
}

// holds tells whether all of small are in big.
func holds(big, small []int32) bool {
	return !slices.ContainsFunc(small, func(p int32) bool { return !slices.Contains(big, p) })
}

// What is kept must be the first of those that hold no other, and no candidate
// may be without one kept that does with its parts.
func TestMinimal(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 2))
		list := drawCandidates(rng, rng.IntN(15), 6)
		table := newTable(list, 6, 2)
		var want []int32
		for i, c := range list {
			if !slices.ContainsFunc(list, func(o Candidate) bool { return len(o.Parts) < len(c.Parts) && holds(c.Parts, o.Parts) }) &&
				!slices.ContainsFunc(list[:i], func(o Candidate) bool { return slices.Equal(o.Parts, c.Parts) }) {
				want = append(want, int32(i))
			}
		}
		if got := table.minimal(); !slices.Equal(got, want) {
			t.Errorf("seed %d: %v of %v; want %v", seed, got, list, want)
		}
	}
}

// What lies nearest to the middle comes first, and nothing is lost.
func TestOutward(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 3))
		table := newTable(drawCandidates(rng, 1+rng.IntN(15), 6), 6, 2)
		order, last := table.outward(nil, table.all()), len(table.values)-1
		mid := (table.values[0] + table.values[last]) / 2
		if sorted := slices.Sorted(slices.Values(order)); !slices.Equal(sorted, table.all()) || !slices.IsSortedFunc(order, func(a, b int32) int {
			return cmp.Compare(math.Abs(table.values[a]-mid), math.Abs(table.values[b]-mid))
		}) {
			t.Errorf("seed %d: outward from %v: %v of %v", seed, mid, order, table.values)
		}
	}
}
