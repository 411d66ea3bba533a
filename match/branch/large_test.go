package branch_test

import (
	"testing"

	"shuntwright/match/branch"
)

// fiveHundred are drawers of 500 parts for eight coupled slots.
var fiveHundred = map[string]circuits{
	"ring-8":         {amperes: 1e-3, ohms: 100, ring: []float64{2e-3, 5e-3, 10e-3, 20e-3, 50e-3, 100e-3, 200e-3, 500e-3}},
	"ring-4-chain-4": {amperes: 1e-3, ohms: 100, ring: []float64{2e-3, 10e-3, 50e-3, 200e-3}, chain: []float64{0.5, 1, 2, 5}},
	"chain-8":        {amperes: 1e-3, ohms: 100, chain: []float64{0.5, 1, 2, 5, 10, 20, 50, 100}},
}

// TestFiveHundredParts wants the worst error within 0.01 % of its bound though
// no time is left for proof.
func TestFiveHundredParts(t *testing.T) {
	c := fiveHundred["ring-8"]
	p, _ := c.problem(drawerFor(c, 1, 500, 0.6), 2, 20)
	p.Budget, p.Gap = 50_000, 0.01
	a := solve(t, p)
	t.Logf("worst %v, bound %v, %d evaluations", a.Worst, a.Bound, a.Work)
	if a.Filled != 8 || a.Worst-a.Bound > 0.01 || a.Work > 200_000 {
		t.Errorf("worst %v, bound %v, %d evaluations", a.Worst, a.Bound, a.Work)
	}
}

func BenchmarkFiveHundredParts(b *testing.B) {
	for _, name := range []string{"ring-8", "ring-4-chain-4", "chain-8"} {
		b.Run(name, func(b *testing.B) {
			c := fiveHundred[name]
			p, _ := c.problem(drawerFor(c, 1, 500, 0.6), 2, 20)
			p.Gap = 0.01
			var a branch.Answer
			for b.Loop() {
				a = solve(b, p)
			}
			b.ReportMetric(a.Worst-a.Bound, "gap%")
			b.ReportMetric(float64(a.Work), "evaluations/op")
		})
	}
}
