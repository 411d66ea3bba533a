package branch_test

import (
	"math"
	"testing"

	"shuntwright/match/branch"
	"shuntwright/match/matchtest"
)

// instances are published drawers and meters with proven optima.
var instances = []string{"ring-12-3", "ring-20-4", "ring-30-6", "ring-chain-15-7", "ring-chain-24-8", "ring-chain-24-11", "ring-chain-30-14",
	"ring-chain-40-10", "ring-chain-60-11", "chain-12-3", "chain-24-5", "unfillable-9-8-ring-chain"}

// read asks for the positions of a published instance, and says what is proven.
func read(t testing.TB, name string) (branch.Problem, [][]matchtest.Candidate, matchtest.Instance) {
	t.Helper()
	in, err := matchtest.Read("../..", name)
	if err != nil {
		t.Fatal(err)
	}
	p, lists := problem(in.Meter, in.Ohms, in.Parts, in.WithinPercent)
	return p, lists, in
}

// TestPublishedOptima holds answers against the optima in joint: exact to 1e-9
// of the value plus 1e-11 points, as its README asks.
func TestPublishedOptima(t *testing.T) {
	for _, name := range instances {
		t.Run(name, func(t *testing.T) {
			p, _, in := read(t, name)
			a := solve(t, p)
			t.Logf("worst %v, %d evaluations, exact %v", a.Worst, a.Work, a.Exact)
			if a.Filled != in.Filled {
				t.Errorf("filled %d; want %d", a.Filled, in.Filled)
			}
			if math.IsNaN(in.Worst) {
				return
			}
			if !a.Proven || a.Bound != a.Worst || !(math.Abs(a.Worst-in.Worst) <= in.Worst*1e-9+1e-11) {
				t.Errorf("worst %v, bound %v, proven %v; want %v", a.Worst, a.Bound, a.Proven, in.Worst)
			}
		})
	}
}

func BenchmarkInstance(b *testing.B) {
	for _, name := range instances {
		b.Run(name, func(b *testing.B) {
			p, _, _ := read(b, name)
			var a branch.Answer
			for b.Loop() {
				a = solve(b, p)
			}
			b.ReportMetric(float64(a.Work), "evaluations/op")
		})
	}
}
