package enumerate

import (
	"cmp"
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

// visited counts how often a walk comes by each network from lo to hi.
func visited(t *testing.T, r request, lo, hi float64) map[network.Network]int {
	t.Helper()
	seen := map[network.Network]int{}
	if err := walk(t.Context(), r, between{lo, hi, func(n network.Network) bool { seen[n]++; return true }}, fresh()); err != nil {
		t.Fatal(err)
	}
	return seen
}

func drawn(n int, seed uint64) request {
	rng := rand.New(rand.NewPCG(seed, 7))
	r := request{Fewest: 0, Most: 4}
	for i := range n {
		r.Leaves.Values = append(r.Leaves.Values, math.Exp(3*rng.NormFloat64()))
		r.Leaves.Bears = append(r.Leaves.Bears, 1+rng.Float64())
		r.Order = append(r.Order, int32(i))
	}
	r.Leaves.KeptValue, r.Leaves.KeptBearing = math.Exp(rng.NormFloat64()), 1.5
	slices.SortFunc(r.Order, func(i, j int32) int { return cmp.Compare(r.Leaves.Values[i], r.Leaves.Values[j]) })
	return r
}

// With an open window every network must come exactly once: their number is
// that of OEIS A006351.
func TestWalkVisitsEveryNetworkOnce(t *testing.T) {
	for _, kept := range []bool{false, true} {
		for n := range 8 {
			for m := range 5 {
				r := drawn(n, 1)
				r.Kept, r.Most = kept, m
				seen := visited(t, r, 0, inf)
				if want := network.Count(n, m, kept).Int64(); int64(len(seen)) != want {
					t.Errorf("%d parts, at most %d, kept %v: %d networks, want %d", n, m, kept, len(seen), want)
				}
				for k, times := range seen {
					if times != 1 {
						t.Errorf("network %v seen %d times", k.Tree(), times)
					}
				}
			}
		}
	}
}

// A narrow window must hold exactly those of the open window that lie in it
// and bear the stress.
func TestWalkNarrowWindow(t *testing.T) {
	for seed := range matchtest.Seeds(60) {
		r := drawn(7, seed)
		r.Kept = seed%2 == 1
		rng := rand.New(rand.NewPCG(seed, 9))
		open := visited(t, r, 0, inf)
		lo := math.Exp(2 * rng.NormFloat64())
		hi := lo * (1 + rng.Float64())
		if seed%3 > 0 {
			r.Flow = 2 * rng.Float64()
		}
		if seed%3 > 1 {
			r.Drop = 3 * lo * rng.Float64()
		}
		seen, want := visited(t, r, lo, hi), 0
		for n := range open {
			if n.Value() < lo || n.Value() > hi || n.Bears() < r.Flow || n.Bears()*n.Value() < r.Drop {
				continue
			}
			want++
			if seen[n] != 1 {
				t.Errorf("seed %d: %+v seen %d times", seed, n.Tree(), seen[n])
			}
		}
		if len(seen) != want {
			t.Errorf("seed %d: %d networks in the window, want %d", seed, len(seen), want)
		}
	}
}

func TestWalkEnds(t *testing.T) {
	r, seen := drawn(40, 3), 0
	fifth := between{0, inf, func(network.Network) bool { seen++; return seen < 5 }}
	if err := walk(t.Context(), r, fifth, fresh()); err != nil || seen != 5 {
		t.Errorf("walk ended by its sink: %d networks, error %v", seen, err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	seen = 0
	first := between{0, inf, func(network.Network) bool { seen++; cancel(); return true }}
	if err := walk(ctx, r, first, fresh()); !errors.Is(err, context.Canceled) || seen > 2*pollEvery {
		t.Errorf("cancelled at the first network: error %v after %d more", err, seen)
	}
	seen = 0
	if err := walk(ctx, r, first, fresh()); !errors.Is(err, context.Canceled) || seen > 0 {
		t.Errorf("cancelled before: error %v after %d networks", err, seen)
	}
}

// Lists of pairs are made in blocks; small blocks must give the same networks.
func TestBlocks(t *testing.T) {
	defer func(n int) { blockPairs = n }(blockPairs)
	blockPairs = 20
	r := drawn(7, 1)
	for _, kept := range []bool{false, true} {
		r.Kept = kept
		if got, want := len(visited(t, r, 0, inf)), network.Count(7, 4, kept).Int64(); int64(got) != want {
			t.Errorf("kept %v: %d networks, want %d", kept, got, want)
		}
	}
}

// Lists are made as long as they will be, so that making them takes no more
// memory than they do.
func TestListSizes(t *testing.T) {
	r := drawn(9, 1)
	r.Flow = 1
	w := newWalker(t.Context(), r, nil, fresh())
	for f := nothing; f <= nestedKept; f++ {
		for _, block := range [][2]int{{0, 9}, {0, 4}, {4, 7}, {8, 9}} {
			l := w.list(side{f, network.Series}, network.Parallel, block[0], block[1])
			if want := w.size(f, block[0], block[1]); len(l.x) != want || len(l.of) != want || len(l.bears) != want || len(l.drops) != want {
				t.Errorf("form %d, block %v: %d elements, want %d", f, block, len(l.x), want)
			}
			if !slices.IsSorted(l.x) {
				t.Errorf("form %d, block %v is not sorted", f, block)
			}
		}
	}
}

func TestDescend(t *testing.T) {
	x := []float64{1, 2, 2, 3, 5, 8, 13, 21}
	for j := -1; j < len(x); j++ {
		for _, top := range []float64{0, 1, 1.5, 2, 3, 4, 8, 30} {
			want := j
			for want >= 0 && x[want] > top {
				want--
			}
			if got := descend(x, j, top); got != want {
				t.Errorf("descend(%d, %v) = %d, want %d", j, top, got, want)
			}
		}
	}
}

// fresh is a store of no lists.
func fresh() *store {
	s := newStore()
	return &s
}
