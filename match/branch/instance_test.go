package branch_test

import (
	"context"
	"math"
	"testing"

	"shuntwright/match/branch"
	"shuntwright/match/matchtest"
)

// instance is a published drawer and meter with a proven optimum.
type instance struct {
	name     string
	circuits circuits
	values   []float64
	atMost   int
	within   float64
	worst    float64 // percent; NaN where not all slots can be filled
	filled   int
}

var instances = []string{"ring-12-3", "ring-20-4", "ring-30-6", "ring-chain-15-7", "ring-chain-24-8", "ring-chain-24-11", "ring-chain-30-14",
	"ring-chain-40-10", "ring-chain-60-11", "chain-12-3", "chain-24-5", "unfillable-9-8-ring-chain"}

func readInstance(t testing.TB, name string) instance {
	t.Helper()
	in, err := matchtest.Read("../..", name)
	if err != nil {
		t.Fatal(err)
	}
	c := circuits{amperes: in.Meter.Amperes, ohms: in.Meter.Ohms}
	for i := range in.Meter.Kinds {
		kind, full := in.Meter.Circuit(i)
		list := map[string]*[]float64{matchtest.Ring: &c.ring, matchtest.Chain: &c.chain, matchtest.Shunt: &c.shunts, matchtest.Multiplier: &c.multiplier}[kind]
		*list = append(*list, full)
	}
	return instance{name: name, circuits: c, values: in.Ohms, atMost: in.Parts, within: in.WithinPercent, worst: in.Worst, filled: in.Filled}
}

// TestPublishedOptima holds answers against the optima in joint: exact to 1e-9
// of the value plus 1e-11 points, as its README asks.
func TestPublishedOptima(t *testing.T) {
	for _, name := range instances {
		t.Run(name, func(t *testing.T) {
			in := readInstance(t, name)
			p, _ := in.circuits.problem(in.values, in.atMost, in.within)
			a, err := branch.Solve(context.Background(), p)
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("worst %v, %d evaluations, exact %v", a.Worst, a.Work, a.Exact)
			if a.Filled != in.filled {
				t.Errorf("filled %d; want %d", a.Filled, in.filled)
			}
			if math.IsNaN(in.worst) {
				return
			}
			if !a.Proven || a.Bound != a.Worst || !(math.Abs(a.Worst-in.worst) <= in.worst*1e-9+1e-11) {
				t.Errorf("worst %v, bound %v, proven %v; want %v", a.Worst, a.Bound, a.Proven, in.worst)
			}
		})
	}
}

func BenchmarkInstance(b *testing.B) {
	for _, name := range instances {
		b.Run(name, func(b *testing.B) {
			in := readInstance(b, name)
			p, _ := in.circuits.problem(in.values, in.atMost, in.within)
			var a branch.Answer
			for b.Loop() {
				var err error
				if a, err = branch.Solve(context.Background(), p); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(a.Work), "evaluations/op")
		})
	}
}
