package buy

import (
	"context"
	"fmt"
	"math"
	"testing"
	"time"

	"shuntwright/match/matchtest"
)

// e24 is the decade of E24 (IEC 60063), for the benchmarks.
var e24 = []float64{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91}

// decades returns E24 over so many decades from 10^from.
func decades(from, n int) (values []float64) {
	for d := range n {
		for _, v := range e24 {
			values = append(values, v*math.Pow(10, float64(from-1+d)))
		}
	}
	return values
}

// Twelve positions, of which two are beyond what the drawer reaches. Twenty parts
// are too few for so many, and nothing is proven about what would do.
func BenchmarkFewest(b *testing.B) {
	for _, c := range []struct {
		n, parts, most int
		class          float64
		pieces         int // -1: not proven
	}{{300, 2, 2, 1, 2}, {300, 2, 2, 0.1, 0}, {300, 3, 2, 1, 2}, {60, 2, 4, 0.3, 4}} {
		b.Run(fmt.Sprintf("%d_of_%d_at_most_%d_class_%v", c.parts, c.n, c.most, c.class), func(b *testing.B) {
			s := stockOf(b, matchtest.Values(c.n, 1)...)
			targets := matchtest.Spread(12)
			targets[0], targets[11] = 0.777, 1.234e6
			p := matchtest.Separate(targets, c.parts, 0.2)
			for b.Loop() {
				got, err := Fewest(b.Context(), s, p, Offer{Values: decades(-1, 8)}, c.most, c.class)
				if err != nil || c.pieces >= 0 && (!got.Proven || len(got.Values) != c.pieces) {
					b.Fatal(got.Values, got.Found, got.Proven, err)
				}
				b.ReportMetric(float64(len(got.Values)), "pieces")
			}
		})
	}
}

// A ring of six and a chain of six, with the two ends out of the drawer's reach:
// the hardest kind of question, so each is given five seconds and answers what
// it has by then.
func BenchmarkRingAndChain(b *testing.B) {
	ring, chain := matchtest.Circuit{Kind: matchtest.Ring}, matchtest.Circuit{Kind: matchtest.Chain}
	for i := range 6 {
		ring.Full = append(ring.Full, 0.003*math.Pow(3, float64(i)))
		chain.Full = append(chain.Full, math.Pow(3, float64(i)))
	}
	meter := matchtest.NewMeter(1e-3, 100, ring, chain)
	p := matchtest.Separate(meter.Targets, 2, 0.2)
	p.Response = meter
	for _, c := range []struct {
		reach, class float64
		most         int
	}{{30e3, 1, 2}, {30e3, 0.1, 2}, {10e3, 1, 2}, {10e3, 1, 3}} {
		b.Run(fmt.Sprintf("up_to_%v_class_%v_most_%d", c.reach, c.class, c.most), func(b *testing.B) {
			values := matchtest.Values(300, 1)
			for i := range values {
				values[i] = min(math.Pow(values[i]/10, 1.4)/10, c.reach*(1-float64(i)/1000))
			}
			s := stockOf(b, values...)
			for b.Loop() {
				ctx, stop := context.WithTimeout(b.Context(), 5*time.Second)
				got, err := Fewest(ctx, s, p, Offer{Values: decades(-1, 8)}, c.most, c.class)
				stop()
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(len(got.Values)), "pieces")
				b.Logf("%v found %v proven %v worst %v %v", got.Values, got.Found, got.Proven, got.Plan.Worst, got.Plan.End)
			}
		})
	}
}
