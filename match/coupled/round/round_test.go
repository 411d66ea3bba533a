package round

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match/coupled/candidate"
	"shuntwright/match/coupled/goal"
	"shuntwright/match/coupled/plan"
	"shuntwright/match/jointtest"
)

// draw returns a record of a ring of three equal sections with single parts for candidates, so that all want the same, and a plan of the least
// of these.
func draw(rng *rand.Rand) (*plan.Record, *goal.Scenario) {
	m := jointtest.NewMeter(1e-3, 100, jointtest.Circuit{Kind: jointtest.Ring, Full: []float64{2e-3, 3e-3, 6e-3}})
	var values []float64
	for _, target := range m.Targets {
		for range 12 {
			values = append(values, target*(0.5+rng.Float64()))
		}
	}
	slices.Sort(values)
	var list []candidate.Candidate
	for p, v := range values {
		list = append(list, candidate.Candidate{Value: v, Parts: []int32{int32(p)}})
	}
	g := plan.New(context.Background(), plan.Spec{Parts: len(values), Lists: [][]candidate.Candidate{list, list, list}, Ranges: 3, Response: m})
	sc := &goal.Scenario{Must: []bool{true, true, true}, Whole: []bool{true, true, true}, Ranges: []int32{0, 1, 2}}
	r := &plan.Record{Gauge: g}
	r.Best = g.Measure([]int32{0, 1, 2}, sc.Whole)
	return r, sc
}

// optimum tries all plans.
func optimum(r *plan.Record, sc *goal.Scenario) float64 {
	least := math.Inf(1)
	n := int32(len(r.Tables[0].Values))
	for a := range n {
		for b := range n {
			for c := range n {
				if a != b && b != c && a != c {
					least = min(least, r.Measure([]int32{a, b, c}, sc.Whole).Costs[0])
				}
			}
		}
	}
	return least
}

// What comes out must be a plan, never a worse one, and in so small a problem more often than not the best.
func TestPolish(t *testing.T) {
	good := 0
	const seeds = 10
	for seed := range uint64(seeds) {
		r, sc := draw(rand.New(rand.NewPCG(seed, 1)))
		before := r.Best
		Polish(r, sc)
		after := r.Best
		if p := r.Measure(after.Chosen, sc.Whole); p.Costs[0] != after.Costs[0] || p.Costs[0] > before.Costs[0] {
			t.Errorf("seed %d: worst %v, said to be %v, was %v", seed, p.Costs[0], after.Costs[0], before.Costs[0])
		}
		if c := after.Chosen; c[0] < 0 || c[1] < 0 || c[2] < 0 || c[0] == c[1] || c[1] == c[2] || c[0] == c[2] {
			t.Errorf("seed %d: parts %v", seed, c)
		}
		least := optimum(r, sc)
		if after.Costs[0] < least {
			t.Errorf("seed %d: worst %v below the optimum %v", seed, after.Costs[0], least)
		}
		if after.Costs[0] < least+goal.Equal {
			good++
		}
	}
	if good < 6 {
		t.Errorf("only %d of %d plans are as good as can be", good, seeds)
	}
}

// Where a slot stays open, or nothing is to be whole, the plan stays.
func TestPolishLeavesAlone(t *testing.T) {
	for _, change := range []func(*goal.Scenario){func(sc *goal.Scenario) { sc.Open = 1 }, func(sc *goal.Scenario) { sc.Ranges = nil }} {
		r, sc := draw(rand.New(rand.NewPCG(1, 1)))
		change(sc)
		before := r.Best
		if Polish(r, sc); r.Best != before {
			t.Error("the plan has changed")
		}
	}
}
