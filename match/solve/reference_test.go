package solve

import (
	"context"
	"testing"
	"time"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
)

func readBench(t testing.TB, name string) (*enumerate.Stock, matchtest.Bench) {
	t.Helper()
	b, err := matchtest.ReadBench("../..", name)
	if err != nil {
		t.Fatal(err)
	}
	return stockOf(t, b.Ohms...), b
}

// No plan comes later in the order than what local search reached in
// testdata/bench, and each is proven.
func TestPlanOfReferenceMeters(t *testing.T) {
	for _, name := range matchtest.Benches {
		s, b := readBench(t, name)
		plan, err := Plan(t.Context(), s, b.Problem)
		if err != nil || plan.End != match.Exact {
			t.Errorf("%s: %v, error %v", name, plan.End, err)
		}
		if plan.Key.Compare(&b.Reference) > 0 {
			t.Errorf("%s: %+v comes later than the reference %+v", name, plan.Key, b.Reference)
		}
		checkPlan(t, s, b.Problem, plan)
	}
}

// Without any time there is a plan too, and not a bad one.
func TestPlanOfReferenceMetersAtOnce(t *testing.T) {
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	for _, name := range matchtest.Benches {
		s, b := readBench(t, name)
		plan, err := Plan(ended, s, b.Problem)
		if err != nil || plan.End != match.Interrupted || plan.Proven {
			t.Errorf("%s: %v, error %v", name, plan.End, err)
		}
		if plan.Key.Filled < b.Reference.Filled || plan.Key.Points > b.Reference.Points+2 {
			t.Errorf("%s: %+v, where the reference is %+v", name, plan.Key, b.Reference)
		}
		checkPlan(t, s, b.Problem, plan)
	}
}

// The proven plan of every reference meter.
func BenchmarkPlanOfReferenceMeters(b *testing.B) {
	for _, name := range matchtest.Benches {
		b.Run(name, func(b *testing.B) {
			s, in := readBench(b, name)
			for b.Loop() {
				start := time.Now()
				reached := time.Duration(0)
				p := in.Problem
				p.Progress = func(at match.Progress) {
					if reached == 0 && at.Key.Compare(&in.Reference) <= 0 {
						reached = time.Since(start)
					}
				}
				plan, err := Plan(b.Context(), s, p)
				if err != nil || plan.End != match.Exact || plan.Key.Compare(&in.Reference) > 0 {
					b.Fatal(plan, err)
				}
				b.ReportMetric(float64(reached.Microseconds())/1000, "ms_to_reference")
			}
		})
	}
}
