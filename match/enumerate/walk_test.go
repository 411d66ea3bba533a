package enumerate

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

// everything is a sink for all networks from lo to hi.
type everything struct {
	lo, hi float64
	seen   map[network.Network]int
	limit  int
}

func (e *everything) Window() (float64, float64) { return e.lo * (1 - 1e-12), e.hi * (1 + 1e-12) }
func (e *everything) Offer(n network.Network) bool {
	if n.Value() >= e.lo && n.Value() <= e.hi {
		e.seen[n]++
	}
	return e.limit == 0 || len(e.seen) < e.limit
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
	sortByValue(r.Order, r.Leaves.Values)
	return r
}

func sortByValue(order []int32, v []float64) {
	for i := range order {
		for j := i; j > 0 && v[order[j-1]] > v[order[j]]; j-- {
			order[j-1], order[j] = order[j], order[j-1]
		}
	}
}

// With an open window every network must come exactly once: their number is
// that of OEIS A006351.
func TestWalkVisitsEveryNetworkOnce(t *testing.T) {
	for _, kept := range []bool{false, true} {
		for n := range 8 {
			for m := range 5 {
				r := drawn(n, 1)
				r.Kept, r.Most = kept, m
				s := &everything{hi: math.Inf(1), seen: map[network.Network]int{}}
				if err := walk(t.Context(), r, s, fresh()); err != nil {
					t.Fatal(err)
				}
				if want := network.Count(n, m, kept).Int64(); int64(len(s.seen)) != want {
					t.Errorf("%d parts, at most %d, kept %v: %d networks, want %d", n, m, kept, len(s.seen), want)
				}
				for k, times := range s.seen {
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
		open := &everything{hi: math.Inf(1), seen: map[network.Network]int{}}
		if err := walk(t.Context(), r, open, fresh()); err != nil {
			t.Fatal(err)
		}
		s := &everything{lo: math.Exp(2 * rng.NormFloat64()), seen: map[network.Network]int{}}
		s.hi = s.lo * (1 + rng.Float64())
		if seed%3 > 0 {
			r.Flow = 2 * rng.Float64()
		}
		if seed%3 > 1 {
			r.Drop = 3 * s.lo * rng.Float64()
		}
		if err := walk(t.Context(), r, s, fresh()); err != nil {
			t.Fatal(err)
		}
		want := 0
		for n := range open.seen {
			if n.Value() < s.lo || n.Value() > s.hi || n.Bears() < r.Flow || n.Bears()*n.Value() < r.Drop {
				continue
			}
			want++
			if s.seen[n] != 1 {
				t.Errorf("seed %d: %+v seen %d times", seed, n.Tree(), s.seen[n])
			}
		}
		if len(s.seen) != want {
			t.Errorf("seed %d: %d networks in the window, want %d", seed, len(s.seen), want)
		}
	}
}

func TestWalkEnds(t *testing.T) {
	r := drawn(40, 3)
	s := &everything{hi: math.Inf(1), seen: map[network.Network]int{}, limit: 5}
	if err := walk(t.Context(), r, s, fresh()); err != nil || len(s.seen) != 5 {
		t.Errorf("walk ended by its sink: %d networks, error %v", len(s.seen), err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := walk(ctx, r, s, fresh()); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled before: error %v", err)
	}
	ctx, cancel = context.WithCancel(t.Context())
	s = &everything{hi: math.Inf(1), seen: map[network.Network]int{}}
	err := walk(ctx, r, &canceller{s, cancel}, fresh())
	if !errors.Is(err, context.Canceled) || len(s.seen) > 2*pollEvery {
		t.Errorf("cancelled at the first network: error %v after %d more", err, len(s.seen))
	}
}

// canceller cancels at the first network.
type canceller struct {
	*everything
	cancel func()
}

func (c *canceller) Offer(n network.Network) bool {
	c.cancel()
	return c.everything.Offer(n)
}

// Lists of pairs are made in blocks; small blocks must give the same networks.
func TestBlocks(t *testing.T) {
	defer func(n int) { blockPairs = n }(blockPairs)
	blockPairs = 20
	r := drawn(7, 1)
	for _, kept := range []bool{false, true} {
		r.Kept = kept
		s := &everything{hi: math.Inf(1), seen: map[network.Network]int{}}
		if err := walk(t.Context(), r, s, fresh()); err != nil {
			t.Fatal(err)
		}
		if want := network.Count(7, 4, kept).Int64(); int64(len(s.seen)) != want {
			t.Errorf("kept %v: %d networks, want %d", kept, len(s.seen), want)
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

func Example_walk() {
	r := request{Leaves: network.Leaves{Values: []float64{3, 6, 2}, Bears: []float64{inf, inf, inf}}, Order: []int32{2, 0, 1}, Most: 3}
	s := &everything{lo: 4, hi: 4.1, seen: map[network.Network]int{}}
	err := walk(context.Background(), r, s, fresh())
	for n := range s.seen {
		fmt.Println(n.Parts(), n.Value(), err)
	}
	// Output: [0 1 2] 4 <nil>
}
