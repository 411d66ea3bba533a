package enumerate

import (
	"fmt"
	"math"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

// The fast way beside the obvious one: the brute-force benchmarks compute every
// network's value and keep the nearest, with fewer parts where the number of
// networks would make them run for minutes; the names say how many.

func BenchmarkPick(b *testing.B) {
	for _, c := range []struct{ parts, n int }{{2, 10000}, {2, 2000}, {3, 1000}, {3, 200}, {4, 200}, {4, 40}} {
		b.Run(fmt.Sprintf("%d_of_%d", c.parts, c.n), func(b *testing.B) {
			s := stockOf(b, matchtest.Values(c.n, 1)...)
			for b.Loop() {
				q := match.Query{Need: need(4321.5, c.parts), Top: 10}
				q.Within = 0.05
				if got, err := s.Pick(b.Context(), q); err != nil || !got.Proven {
					b.Fatal(got, err)
				}
			}
			b.ReportMetric(toFloat(s, c.parts), "networks")
		})
	}
}

// Where pairs are within the first step, three and four parts cost no more.
// NewStock, which sorts the parts, is the yardstick.
func BenchmarkPickByStep(b *testing.B) {
	for _, n := range []int{10000, 100000} {
		values := matchtest.Values(n, 1)
		b.Run(fmt.Sprintf("sort_%d", n), func(b *testing.B) {
			for b.Loop() {
				stockOf(b, values...)
			}
		})
		s := stockOf(b, values...)
		for parts := 2; parts <= network.MaxParts; parts++ {
			b.Run(fmt.Sprintf("%d_of_%d", parts, n), func(b *testing.B) {
				q := match.Query{Need: need(4321.5, parts), Top: 10, Resolution: 1e-5}
				q.Within = 0.05
				for b.Loop() {
					if got, err := s.Pick(b.Context(), q); err != nil || !got.Proven || len(got.Choices) < 10 {
						b.Fatal(got, err)
					}
				}
			})
		}
	}
}

func toFloat(s *Stock, parts int) float64 {
	f, _ := network.Count(s.Len(), parts, false).Float64()
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
