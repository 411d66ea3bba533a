package match

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"shuntwright/match/jointtest"
	"shuntwright/match/matchtest"
)

// The fast way beside the obvious one: the brute-force benchmarks compute every
// network's value and keep the nearest, with fewer parts where the number of
// networks would make them run for minutes; the names say how many.

func BenchmarkPick(b *testing.B) {
	for _, c := range []struct{ parts, n int }{{2, 10000}, {2, 2000}, {3, 1000}, {3, 200}, {4, 200}, {4, 40}} {
		b.Run(fmt.Sprintf("%d_of_%d", c.parts, c.n), func(b *testing.B) {
			s := stockOf(b, matchtest.Values(c.n, 1)...)
			for b.Loop() {
				q := Query{Need: need(4321.5, c.parts), Top: 10}
				q.Within = 0.05
				if got, err := s.Pick(b.Context(), q); err != nil || !got.Proven {
					b.Fatal(got, err)
				}
			}
			b.ReportMetric(toFloat(s, c.parts), "networks")
		})
	}
}

func toFloat(s *Stock, parts int) float64 {
	f, _ := Count(s.Len(), parts, false).Float64()
	return f
}

// Same values and target as BenchmarkPick; the best error must be the same.
func BenchmarkPickBruteForce(b *testing.B) {
	for _, c := range []struct{ parts, n int }{{2, 2000}, {3, 200}, {4, 40}} {
		b.Run(fmt.Sprintf("%d_of_%d", c.parts, c.n), func(b *testing.B) {
			values := matchtest.Values(c.n, 1)
			s := stockOf(b, values...)
			want := best(b, s, need(4321.5, c.parts))
			for b.Loop() {
				if got := bruteBest(values, 4321.5, c.parts); math.Abs(got-want) > 1e-11 {
					b.Fatalf("brute force finds %v, Pick %v", got, want)
				}
			}
			b.ReportMetric(toFloat(s, c.parts), "networks")
		})
	}
}

// bruteBest is the smallest |error| over all networks of up to four parts,
// written out as plainly and quickly as it goes.
func bruteBest(v []float64, target float64, parts int) float64 {
	least := math.Inf(1)
	try := func(x float64) { least = min(least, math.Abs(x-target)) }
	for i, a := range v {
		try(a)
		for j := i + 1; j < len(v); j++ {
			b := v[j]
			both(a, b, try)
			for k := j + 1; k < len(v) && parts > 2; k++ {
				c := v[k]
				bruteThree(a, b, c, try)
				for l := k + 1; l < len(v) && parts > 3; l++ {
					bruteFour(a, b, c, v[l], try)
				}
			}
		}
	}
	return least / target
}

func beside(a, b float64) float64 { return a * b / (a + b) }

func both(a, b float64, try func(float64)) { try(a + b); try(beside(a, b)) }

func bruteThree(a, b, c float64, try func(float64)) {
	try(a + b + c)
	try(beside(beside(a, b), c))
	for range 3 {
		try(a + beside(b, c))
		try(beside(a, b+c))
		a, b, c = b, c, a
	}
}

func bruteFour(a, b, c, d float64, try func(float64)) {
	for range 4 { // one part with each of the eight networks of the others
		bruteThree(b, c, d, func(x float64) { both(a, x, try) })
		a, b, c, d = b, c, d, a
	}
	for range 3 { // pair with pair
		both(a, b, func(x float64) { both(c, d, func(y float64) { both(x, y, try) }) })
		b, c, d = c, d, b
	}
}

func BenchmarkPlan(b *testing.B) {
	for _, c := range []struct{ positions, n, parts int }{{6, 200, 2}, {12, 2000, 2}, {12, 300, 2}, {12, 300, 3}, {6, 100, 4}} {
		b.Run(fmt.Sprintf("%d_positions_%d_parts_of_%d", c.positions, c.parts, c.n), func(b *testing.B) {
			s := stockOf(b, matchtest.Values(c.n, 1)...)
			p := separateProblem(matchtest.Spread(c.positions), c.parts, 0.2)
			for b.Loop() {
				plan, err := s.Plan(b.Context(), p)
				if err != nil || plan.End != Exact {
					b.Fatal(plan.End, err)
				}
			}
		})
	}
}

// ringAndChain asks for a ring of six and a chain of six, two parts a position.
func ringAndChain() Problem {
	ring, chain := jointtest.Circuit{Kind: jointtest.Ring}, jointtest.Circuit{Kind: jointtest.Chain}
	for i := range 6 {
		ring.Full = append(ring.Full, 0.003*math.Pow(3, float64(i)))
		chain.Full = append(chain.Full, math.Pow(3, float64(i)))
	}
	return problemFor(jointtest.NewMeter(1e-3, 100, ring, chain), 2, 0.2)
}

// A ring of six and a chain of six, from 300 parts.
func BenchmarkPlanRingAndChain(b *testing.B) {
	p := ringAndChain()
	values := matchtest.Values(300, 1)
	for i := range values {
		values[i] = math.Pow(values[i]/10, 1.4) / 10 // five and a half decades from 0.1
	}
	s := stockOf(b, values...)
	for b.Loop() {
		plan, err := s.Plan(b.Context(), p)
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
			m := jointtest.NewMeter(1e-3, 100, jointtest.Circuit{Kind: jointtest.Ring, Full: c.ring}, jointtest.Circuit{Kind: jointtest.Chain, Full: c.chain})
			rng := rand.New(rand.NewPCG(1, 3))
			values := make([]float64, 500)
			for i := range values {
				values[i] = m.Targets[i%8] * math.Pow(10, 0.6*(2*rng.Float64()-1))
			}
			s, p := stockOf(b, values...), problemFor(m, 2, 0.2)
			for b.Loop() {
				plan, err := s.Plan(b.Context(), p)
				if err != nil || !(plan.Worst-plan.Bound < 0.01) {
					b.Fatal(plan, err)
				}
				b.ReportMetric(plan.Worst, "worst_%")
				b.ReportMetric(plan.Worst-plan.Bound, "gap_%")
			}
		})
	}
}
