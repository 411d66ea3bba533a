package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/match"
	"shuntwright/match/solve"
	"shuntwright/meter/wiring"
)

// looks is a context that ends after so many looks at it, on any machine.
type looks struct {
	context.Context
	left *int
}

func (l looks) Err() error {
	if *l.left <= 0 {
		return context.DeadlineExceeded
	}
	*l.left--
	return nil
}

// shareOf leaves a share of what is left; what it takes is gone.
func shareOf(ctx context.Context, share float64) (context.Context, context.CancelFunc) {
	of := ctx.(looks)
	given := int(share * float64(*of.left))
	left := given
	return looks{ctx, &left}, func() { *of.left -= given - left }
}

// severalParts are meters of each kind of which more parts brought a later plan
// while these were not held against what fewer do, or while a section with a network
// within its window could not have another one.
var severalParts = map[string][]uint64{"shunt": {1}, "multiplier": {0}, "ring": {1, 5}, "chain": {3}, "external shunt": {3},
	"ring with chain": {4}, "ring, multiplier": {5}}

// TestMorePartsAreNeverWorse: on random meters of every circuit no plan comes later
// in the order because one part more a position is allowed: without any time, and
// than what fewer find in seven tenths of a short one; in steps, by every digit,
// with a floor and by limits. With SHUNTWRIGHT_SLOW more meters.
func TestMorePartsAreNeverWorse(t *testing.T) {
	slow := os.Getenv("SHUNTWRIGHT_SLOW") != ""
	orders := []asbuilt.Asked{{Resolution: 0.05}, {}, {Resolution: 0.05, Enough: 1.5}, {Resolution: 0.05, Sure: true}}
	limits := [][]int{{0, 200}, {0}, {0}, {0}}
	for kind, seeds := range severalParts {
		for seed := uint64(0); seed < 40 && slow; seed++ {
			seeds = append(seeds, seed)
		}
		for _, seed := range seeds {
			b := drawBench(rand.New(rand.NewPCG(seed, uint64(len(kind)))), kind)
			for k, order := range orders {
				if k > 0 && kind != "ring" && !slow {
					break
				}
				for _, limit := range limits[k] {
					b.getsNoLater(t, fmt.Sprintf("%s %d, order %d, limit %d", kind, seed, k, limit), order, limit)
				}
			}
		}
	}
}

// getsNoLater plans with one part more each time.
func (b trial) getsNoLater(t *testing.T, what string, order asbuilt.Asked, limit int) {
	var fewer match.Key
	for parts := 1; parts <= 4; parts++ {
		all := b.planned(t, order, parts, limit)
		if parts > 1 && all.Compare(&fewer) > 0 {
			t.Errorf("%s: with %d parts %+v, with fewer %+v", what, parts, all, fewer)
		}
		if fewer = all; limit > 0 {
			fewer = b.planned(t, order, parts, limit*7/10)
		}
	}
}

// planned is where the plan stands that is found in so many looks.
func (b trial) planned(t *testing.T, order asbuilt.Asked, parts, limit int) match.Key {
	p := &plan.Planner{Setup: asbuilttest.Open(t, b.meter, b.drawer, "{}"), Asked: order}
	p.AtMost, p.Within, p.Reach, p.Derate = parts, 0.2, true, b.derate
	p.Class = p.Meter.Class
	q, err := p.Ask(map[int]wiring.Network{})
	if err != nil {
		t.Fatal(err)
	}
	q.Problem.Share = shareOf
	got, err := solve.Plan(looks{t.Context(), &limit}, q.Stock, q.Problem)
	if err != nil {
		t.Fatal(err)
	}
	return got.Key
}
