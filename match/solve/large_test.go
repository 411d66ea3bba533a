package solve

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
)

// workshop is a meter with a ring of four, a chain of four and eight ranges of
// their own, and a drawer of so many parts over seven decades.
func workshop(parts, atMost int) ([]float64, match.Problem) {
	m := matchtest.NewMeter(1e-3, 100,
		matchtest.Circuit{Kind: matchtest.Ring, Full: []float64{3e-3, 10e-3, 30e-3, 100e-3}},
		matchtest.Circuit{Kind: matchtest.Chain, Full: []float64{1, 10, 50, 250}},
		matchtest.Circuit{Kind: matchtest.Shunt, Full: []float64{2e-3, 5e-3, 20e-3, 50e-3}},
		matchtest.Circuit{Kind: matchtest.Multiplier, Full: []float64{3, 15, 30, 150}})
	rng := rand.New(rand.NewPCG(uint64(parts), 9))
	values := make([]float64, parts)
	for i := range values {
		values[i] = math.Pow(10, -1+7*rng.Float64())
	}
	p := m.Problem(atMost, 0.2)
	p.Resolution = 0.05
	return values, p
}

func BenchmarkPlanFromDrawers(b *testing.B) {
	for _, parts := range []int{300, 1000, 10_000, 100_000} {
		b.Run(fmt.Sprint(parts), func(b *testing.B) {
			values, p := workshop(parts, 3)
			s := stockOf(b, values...)
			for b.Loop() {
				plan, err := Plan(b.Context(), s, p)
				if err != nil || plan.End != match.Exact {
					b.Fatal(plan, err)
				}
				b.ReportMetric(float64(plan.Parts()), "parts")
				b.ReportMetric(plan.Worst, "worst_%")
			}
		})
	}
}
