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

// The table must say of every candidate what the list says, and of sets of
// parts what counting them one by one says.
func TestTable(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 1))
		const parts = 6
		list := drawCandidates(rng, 1+rng.IntN(12), parts)
		table := newTable(list, parts, 2)
		owner := make([]int32, parts+1)
		for p := range owner {
			owner[p] = int32(rng.IntN(3)) - 1
		}
		owner[parts] = nobody
		for i, c := range list {
			c32 := int32(i)
			if table.values[i] != c.Value || !slices.Equal(table.of(c32), c.Parts) || table.attribute(c32, 1) != c.Attributes[1] {
				t.Fatalf("seed %d: candidate %d of %v is %v with %v", seed, i, list, table.values[i], table.of(c32))
			}
			taken := slices.ContainsFunc(c.Parts, func(p int32) bool { return owner[p] >= 0 && owner[p] != 1 })
			if got := table.clashes(c32, owner, 1); got != taken {
				t.Errorf("seed %d: %v clashes %v with owners %v", seed, c.Parts, got, owner)
			}
		}
		if table.of(open) != nil {
			t.Error("an open slot has parts")
		}
		for p := range int32(parts) {
			all := !slices.ContainsFunc(list, func(c Candidate) bool { return !slices.Contains(c.Parts, p) })
			if got := table.inAll(p, table.all()); got != all {
				t.Errorf("seed %d: part %d in all of %v: %v", seed, p, list, got)
			}
		}
	}
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

func TestOrders(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 3))
		list := drawCandidates(rng, rng.IntN(15), 6)
		table := newTable(list, 6, 2)
		all := table.all()
		for v := -0.5; v < 21; v += 0.5 {
			want := 0
			for want < len(list) && list[want].Value < v {
				want++
			}
			if got := table.above(all, v); got != want {
				t.Errorf("seed %d: above %v: %d; want %d", seed, v, got, want)
			}
		}
		order := table.outward(nil, all)
		if sorted := slices.Sorted(slices.Values(order)); !slices.Equal(sorted, all) {
			t.Fatalf("seed %d: outward %v of %d", seed, order, len(list))
		}
		if len(list) > 0 {
			mid := (list[0].Value + list[len(list)-1].Value) / 2
			if !slices.IsSortedFunc(order, func(a, b int32) int {
				return cmp.Compare(math.Abs(table.values[a]-mid), math.Abs(table.values[b]-mid))
			}) {
				t.Errorf("seed %d: outward from %v: %v of %v", seed, mid, order, table.values)
			}
		}
		slices.SortFunc(order, table.byParts)
		for i := 1; i < len(order); i++ {
			if c := slices.Compare(list[order[i-1]].Parts, list[order[i]].Parts); c > 0 || c == 0 && order[i-1] > order[i] {
				t.Errorf("seed %d: %v stands before %v", seed, list[order[i-1]], list[order[i]])
			}
		}
		if len(list) > 0 && (table.byParts(open, 0) <= 0 || table.byParts(0, open) >= 0) {
			t.Error("an open slot does not come last")
		}
	}
}
