package enumerate

import (
	"cmp"
	"container/heap"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestFirsts: what is kept are the first of what was offered, the last of them on
// top, and taken off one by one they come from the last to the first.
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
		for n := f.Len() - 1; n >= 0; n-- {
			if x := heap.Pop(&f).(int); x != all[n] || f.Len() != n {
				t.Fatalf("seed %d: %d is taken off with %d left; want %d", seed, x, f.Len(), all[n])
			}
		}
	}
}
