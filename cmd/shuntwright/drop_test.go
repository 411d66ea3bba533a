package main

import (
	"math"
	"testing"
)

func TestRoundUp(t *testing.T) {
	for _, test := range []struct {
		limit  float64
		digits int
		want   float64
	}{
		{0.1 + 0.2, 6, 0.3}, {0.7 + 0.1, 6, 0.8}, {1.1 + 2.2, 2, 3.3}, {1.5, 6, 1.5}, {0, 6, 0},
		{1.00000049, 6, 1.00001}, {0.1234561, 6, 0.123457}, {0.00184, 2, 0.0019}, {9.99, 2, 10}, {100, 2, 100}, {1234567, 2, 1300000},
	} {
		if got := roundUp(test.limit, test.digits); got != test.want {
			t.Errorf("roundUp(%v, %d) = %v, want %v", test.limit, test.digits, got, test.want)
		}
	}
	for k := range 10000 {
		limit := math.Pow(10, float64(k%12)-6) * (1 + float64(k)/1000)
		if got := roundUp(limit, 3); got < limit*(1-1e-11) || got > limit*1.0101 {
			t.Fatalf("roundUp(%v, 3) = %v", limit, got)
		}
	}
}
