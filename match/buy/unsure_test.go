package buy

import (
	"context"
	"math/rand/v2"
	"testing"

	"shuntwright/match/matchtest"
)

// TestUnsure: where questions are cut short at random, less is found, but what is
// said to be proven is so.
func TestUnsure(t *testing.T) {
	met := map[bool]int{}
	for seed := range matchtest.Seeds(900) {
		rng := rand.New(rand.NewPCG(seed, 37))
		separate := seed%3 > 0
		drawer, p := matchtest.Draw(rng, separate)
		if len(p.Needs) > 2 && !separate {
			continue // too much for brute force
		}
		values, most, class := buyable(rng, p), 1+rng.IntN(2), []float64{0.5, 3, 10}[rng.IntN(3)]
		often := rng.IntN(4)
		p.Share = func(ctx context.Context, share float64) (context.Context, context.CancelFunc) {
			ctx, stop := context.WithCancel(ctx)
			if share == forOne && rng.IntN(4) <= often {
				stop()
			}
			return ctx, stop
		}
		got, err := Fewest(t.Context(), stockOf(t, drawer...), p, Offer{Values: values}, most, class)
		if err != nil {
			t.Fatal(err)
		}
		size, _ := bruteBuy(drawer, p, values, most, class, separate)
		if size >= 0 && got.Proven && (!got.Found || len(got.Values) != size) {
			t.Fatalf("seed %d: %v, found %v, said to be proven; %d pieces do", seed, got.Values, got.Found, size)
		}
		if size > 0 {
			met[got.Proven]++
		}
	}
	if met[false] < 5 || met[true] < 10 {
		t.Errorf("hardly tested: %v", met)
	}
}

// TestRefuted: only what was asked about to the end is refuted.
func TestRefuted(t *testing.T) {
	over, stop := context.WithCancel(t.Context())
	stop()
	for _, c := range []struct {
		what   string
		ctx    context.Context
		values []float64
		most   int
		want   bool // refuted
		found  bool
	}{
		{"one value of two", t.Context(), []float64{1, 39}, 1, true, false},
		{"the same, cut short", over, []float64{1, 39}, 1, false, false},
		{"both", t.Context(), []float64{1, 39}, 2, true, true},
		{"two of more than are asked about at once", t.Context(), []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 14, 39}, 2, true, true},
		{"one of them", t.Context(), []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 14, 39}, 1, true, false},
		{"values that come to nothing in one slot", t.Context(), []float64{1, 2}, 2, true, false},
	} {
		p := matchtest.Separate([]float64{100, 47}, 2, 0.2)
		b, err := newBuyer(t.Context(), stockOf(t, 46, 30, 61), p, Offer{Values: c.values}, c.most, 0.1)
		if err != nil || b.hopeless() {
			t.Fatal("windows that nothing fills")
		}
		best, err := b.halving(c.ctx, b.wide)
		if err != nil || (best != nil) != c.found || best == nil && b.refuted != c.want {
			t.Errorf("%s: %v, refuted %v, %v", c.what, best, b.refuted, err)
		}
	}
}

// TestRefutedInTime: two slots each have the one part that suits both, so that it
// takes a plan to see that they are not filled; where there is no time for one, that
// refutes nothing.
func TestRefutedInTime(t *testing.T) {
	for _, inTime := range []bool{true, false} {
		p := matchtest.Separate([]float64{47, 47}, 1, 0.2)
		p.Share = func(ctx context.Context, _ float64) (context.Context, context.CancelFunc) {
			ctx, stop := context.WithCancel(ctx)
			if !inTime {
				stop()
			}
			return ctx, stop
		}
		b, err := newBuyer(t.Context(), stockOf(t, 47), p, Offer{Values: []float64{40}}, 1, 0.1)
		if err != nil || b.hopeless() {
			t.Fatal("windows that nothing fills")
		}
		if best, err := b.halving(t.Context(), b.wide); best != nil || err != nil || b.refuted != inTime {
			t.Errorf("in time %v: %v, refuted %v, error %v", inTime, best, b.refuted, err)
		}
	}
}

// TestEndedAtAnyTime: wherever the search ends, what three parts do is not said to be
// impossible because two do not.
func TestEndedAtAnyTime(t *testing.T) {
	found := false
	for after := 1; after < 100 && !found; after++ {
		ctx, stop := context.WithCancel(t.Context())
		asked := 0
		p := matchtest.Separate([]float64{300}, 3, 0.2)
		p.Share = func(ctx context.Context, _ float64) (context.Context, context.CancelFunc) {
			if asked++; asked == after {
				stop()
			}
			return context.WithCancel(ctx)
		}
		got, err := Fewest(ctx, stockOf(t, 47), p, Offer{Values: []float64{100}}, 1, 0.1)
		if stop(); err != nil || !got.Found && got.Proven {
			t.Errorf("ended when asked %d times: %+v, error %v", after, got, err)
		}
		found = got.Found && asked < after
	}
	if !found {
		t.Error("nothing found in the end")
	}
}
