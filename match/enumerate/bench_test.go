package enumerate

import (
	"fmt"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

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
