package solve

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
)

func BenchmarkPlan(b *testing.B) {
	for _, c := range []struct{ positions, n, parts int }{{6, 200, 2}, {12, 2000, 2}, {12, 300, 2}, {12, 300, 3}, {6, 100, 4}} {
		b.Run(fmt.Sprintf("%d_positions_%d_parts_of_%d", c.positions, c.parts, c.n), func(b *testing.B) {
			s := stockOf(b, matchtest.Values(c.n, 1)...)
			p := matchtest.Separate(matchtest.Spread(c.positions), c.parts, 0.2)
			for b.Loop() {
				plan, err := Plan(b.Context(), s, p)
				if err != nil || plan.End != match.Exact {
					b.Fatal(plan.End, err)
				}
			}
		})
	}
}

// ringAndChain asks for a ring of six and a chain of six, two parts a position.
func ringAndChain() match.Problem {
	ring, chain := matchtest.Circuit{Kind: matchtest.Ring}, matchtest.Circuit{Kind: matchtest.Chain}
	for i := range 6 {
		ring.Full = append(ring.Full, 0.003*math.Pow(3, float64(i)))
		chain.Full = append(chain.Full, math.Pow(3, float64(i)))
	}
	return matchtest.NewMeter(1e-3, 100, ring, chain).Problem(2, 0.2)
}

// A ring of six and a chain of six, from 300 parts.
func BenchmarkPlanRingAndChain(b *testing.B) {
	p := ringAndChain()
	s := stockOf(b, fiveDecades(300)...)
	for b.Loop() {
		plan, err := Plan(b.Context(), s, p)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(plan.Worst, "worst_%")
		b.ReportMetric(plan.Worst-plan.Bound, "gap_%")
	}
}

// Eight coupled positions from 500 parts within a factor of four of their
// targets, two parts a position.
func BenchmarkPlanEightCoupled(b *testing.B) {
	long := []float64{2e-3, 5e-3, 10e-3, 20e-3, 50e-3, 100e-3, 200e-3, 500e-3}
	volts := []float64{0.5, 1, 2, 5, 10, 20, 50, 100}
	for _, c := range []struct {
		name        string
		ring, chain []float64
	}{{"ring_8", long, nil}, {"ring_4_chain_4", []float64{2e-3, 10e-3, 50e-3, 200e-3}, volts[:4]}, {"chain_8", nil, volts}} {
		b.Run(c.name, func(b *testing.B) {
			m := matchtest.NewMeter(1e-3, 100, matchtest.Circuit{Kind: matchtest.Ring, Full: c.ring}, matchtest.Circuit{Kind: matchtest.Chain, Full: c.chain})
			rng := rand.New(rand.NewPCG(1, 3))
			values := make([]float64, 500)
			for i := range values {
				values[i] = m.Targets[i%8] * math.Pow(10, 0.6*(2*rng.Float64()-1))
			}
			s, p := stockOf(b, values...), m.Problem(2, 0.2)
			for b.Loop() {
				plan, err := Plan(b.Context(), s, p)
				if err != nil || !(plan.Worst-plan.Bound < 0.01) {
					b.Fatal(plan, err)
				}
				b.ReportMetric(plan.Worst, "worst_%")
				b.ReportMetric(plan.Worst-plan.Bound, "gap_%")
			}
		})
	}
}
