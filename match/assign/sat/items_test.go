package sat

import (
	"math/rand/v2"
	"slices"
	"testing"
)

func TestOf(t *testing.T) {
	got := useOf([]int32{7, 2, 7, 2, 7, 0})
	if want := []Use{{0, 1}, {2, 2}, {7, 3}}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	for r, want := range []int32{1, 0, 2, 0, 0, 0, 0, 3, 0} {
		if n := unitsOf(got, int32(r)); n != want {
			t.Errorf("%d units of %d; want %d", n, r, want)
		}
	}
	if got := useOf(nil); len(got) != 0 {
		t.Errorf("got %v for nothing", got)
	}
}

// TestLesser compares with a look at every pair: y is lesser than x if all that
// it takes, in the same units, x takes too; of those that take the same, the
// first is lesser than the others.
func TestLesser(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		uses := make([][]Use, 1+rng.IntN(12))
		for i := range uses {
			item := make([]int32, rng.IntN(9))
			for k := range item {
				item[k] = int32(rng.IntN(8))
			}
			uses[i] = useOf(item)
		}
		for i, got := range lesser(uses, 100) {
			var want []int32
			for j := range uses {
				within := !slices.ContainsFunc(uses[j], func(u Use) bool { return !slices.Contains(uses[i], u) })
				again := slices.ContainsFunc(uses[:j], func(u []Use) bool { return slices.Equal(u, uses[j]) })
				if len(uses[i]) <= small && j != i && within && !again {
					want = append(want, int32(100+j))
				}
			}
			if slices.Sort(got); !slices.Equal(got, want) {
				t.Fatalf("%v: lesser than %d are %v, want %v", uses, i, got, want)
			}
		}
	}
}
