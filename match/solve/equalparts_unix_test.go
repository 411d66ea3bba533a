//go:build unix

package solve

import (
	"math/rand/v2"
	"testing"
	"time"

	"shuntwright/match/matchtest"
)

// Of 96 equal parts there are 4560 pairs of one value, more than are listed: no cut
// tells them apart, and a search must not go on cutting down to what rounding
// leaves, whether its time is up or not.
func TestEndsInTimeOfEqualParts(t *testing.T) {
	values := make([]float64, 96)
	for i := range values {
		values[i] = 100
	}
	m := matchtest.NewMeter(1e-3, 100, matchtest.Circuit{Kind: matchtest.Chain, Full: []float64{0.2039, 0.3776, 0.4336, 0.5308, 0.937, 1.7626}},
		matchtest.Circuit{Kind: matchtest.Multiplier, Full: []float64{0.1423, 0.1887, 0.2257, 0.3634}})
	for _, limit := range []time.Duration{0, 100 * time.Millisecond} {
		p := m.Problem(4, 0.2)
		p.Resolution = 0.05
		d := matchtest.DrawDoubts(rand.New(rand.NewPCG(203, 99)), len(values), p.Response)
		p.Limit, p.LimitFloor = d.Limit, d
		ctx := until{t.Context(), spent() + limit}
		plan, err := Plan(ctx, stockOf(t, values...), p)
		if over := spent() - ctx.end; err != nil || plan.Key.Filled < 3 || over > slower*time.Second {
			t.Errorf("limit %v: %d filled, %v too late, error %v", limit, plan.Key.Filled, over, err)
		}
	}
}
