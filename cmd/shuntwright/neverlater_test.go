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

// neverLaterOrders are in steps, by every digit, with a floor and by limits.
var neverLaterOrders = []asbuilt.Asked{{Resolution: 0.05}, {}, {Resolution: 0.05, Enough: 1.5}, {Resolution: 0.05, Sure: true}}

// TestMorePartsAreNeverWorse: on random meters of every circuit no plan comes later
// in the order because one part more a position is allowed: without any time, and
// than what fewer find in seven tenths of a short one. Those named last got a later
// plan where more parts were not held against what fewer do. With SHUNTWRIGHT_SLOW
// more meters.
func TestMorePartsAreNeverWorse(t *testing.T) {
	type meter struct {
		kind   string
		seed   uint64
		orders []asbuilt.Asked
		limit  int
	}
	all := neverLaterOrders
	meters := []meter{{"shunt", 1, all[:1], 200}, {"multiplier", 0, all[:1], 200}, {"external shunt", 3, all[:1], 200},
		{"ring", 1, all, 0}, {"ring", 1, all[:1], 200}, {"chain", 3, all[:1], 200},
		{"chain", 2, all, 40}, {"ring, multiplier", 3, all, 0}, {"ring with chain", 4, all[1:2], 0}}
	for kind := range drawKinds {
		for seed := uint64(0); seed < 40 && os.Getenv("SHUNTWRIGHT_SLOW") != ""; seed++ {
			meters = append(meters, meter{kind, seed, all, 0}, meter{kind, seed, all[:1], 200})
		}
	}
	for _, m := range meters {
		b := drawBench(rand.New(rand.NewPCG(m.seed, uint64(len(m.kind)))), m.kind)
		for _, order := range m.orders {
			b.getsNoLater(t, fmt.Sprintf("%s %d, resolution %v, enough %v, sure %v, limit %d", m.kind, m.seed, order.Resolution, order.Enough, order.Sure, m.limit), order, m.limit)
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
