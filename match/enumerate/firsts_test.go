package enumerate

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestFirsts: what is kept are the first of what was offered, the last of them on
// top.
func TestFirsts(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 61))
		top, all := 1+rng.IntN(9), []int{}
		f := firsts[int]{compare: cmp.Compare[int]}
		for range rng.IntN(40) {
			x := rng.IntN(20)
			among := len(all) < top || x < all[top-1]
			all = append(all, x)
			slices.Sort(all)
			if f.offer(x, top) != among || f.list[0] != all[min(top, len(all))-1] {
				t.Fatalf("seed %d: %d offered to the first %d of %v: %v", seed, x, top, all, f.list)
			}
		}
		slices.Sort(f.list)
		if !slices.Equal(f.list, all[:len(f.list)]) {
			t.Fatalf("seed %d: %v of %v", seed, f.list, all)
		}
	}
}
