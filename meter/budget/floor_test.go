package budget

import (
	"math/rand/v2"
	"testing"
)

// TestFloor holds limits of sources within random spans against the floor, with
// sources that dominate and others that do not.
func TestFloor(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	dominated, reached := 0, 0
	for range 20_000 {
		n := r.IntN(5)
		least, most, sources, ends := make([]float64, n), make([]float64, n), make([]Source, n), make([]Source, n)
		for i := range least {
			least[i] = []float64{0, 0.1, 1}[r.IntN(3)] * r.Float64()
			most[i] = least[i] + []float64{0, 0, 0.1, 1}[r.IntN(4)]*r.Float64()
			sources[i].Half = least[i] + (most[i]-least[i])*[]float64{0, 1, r.Float64()}[r.IntN(3)]
			ends[i].Half = least[i]
		}
		floor, got := Floor(least, most), Combine(sources)
		if got.Limit < floor*(1-1e-13) {
			t.Fatalf("%v within %v to %v: limit %v below the floor %v", sources, least, most, got.Limit, floor)
		}
		if low := Combine(ends); Floor(least, least) < low.Limit*(1-1e-13) || Floor(least, least) > low.Limit*(1+1e-13) {
			t.Fatalf("%v: floor %v, limit %v", least, Floor(least, least), low.Limit)
		}
		if got.Factor == rectangularFactor {
			dominated++
		}
		if got.Limit <= floor*(1+1e-13) {
			reached++
		}
	}
	if dominated < 1000 || reached < 1000 {
		t.Errorf("%d dominated, %d floors reached", dominated, reached)
	}
}
