package coupling

import (
	"math"
	"testing"

	"shuntwright/match/matchtest"
	"shuntwright/match/planning"
	"shuntwright/match/stock"
)

// What is estimated must be about what there is.
func TestEstimate(t *testing.T) {
	values := matchtest.Values(60, 1)
	parts := make([]stock.Part, len(values))
	for i, v := range values {
		values[i] = math.Pow(v/10, 1.4) / 10 // five and a half decades from 0.1
		parts[i] = stock.Part{Value: values[i], Bears: math.Inf(1)}
	}
	s, err := stock.New(parts)
	if err != nil {
		t.Fatal(err)
	}
	for most := 1; most <= 3; most++ {
		all := matchtest.Networks(values, most)
		for _, target := range []float64{1, 30, 2000} {
			for _, percent := range []float64{1, 20} {
				n := stock.Need{Target: target, Within: percent / 100, AtMost: most, Keep: math.NaN(), Flow: math.NaN(), Drop: math.NaN()}
				pl := newPlanner(planning.New(t.Context(), s, planning.Problem{Needs: []stock.Need{n}}), Usual)
				want, got := float64(len(matchtest.Within(all, target, percent))), pl.estimate(n)
				if want > 30 && (got < want/4 || got > want*4) || want <= 30 && got > 120+4*want {
					t.Errorf("%d parts, %v within %v %%: about %v; there are %v", most, target, percent, got, want)
				}
			}
		}
	}
}
