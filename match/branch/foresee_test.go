package branch

import (
	"math"
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
	"shuntwright/match/objective"
)

// What is estimated must be about what there is.
func TestEstimate(t *testing.T) {
	values := matchtest.Values(60, 1)
	parts := make([]match.Part, len(values))
	for i, v := range values {
		values[i] = math.Pow(v/10, 1.4) / 10 // five and a half decades from 0.1
		parts[i] = match.Part{Value: values[i], Bears: math.Inf(1)}
	}
	s, err := enumerate.NewStock(parts)
	if err != nil {
		t.Fatal(err)
	}
	for most := 1; most <= 3; most++ {
		all := matchtest.Networks(values, most)
		for _, target := range []float64{1, 30, 2000} {
			for _, percent := range []float64{1, 20} {
				n := match.Need{Target: target, Within: percent / 100, AtMost: most, Keep: math.NaN(), Flow: math.NaN(), Drop: math.NaN()}
				pl := newPlanner(objective.New(t.Context(), s, match.Problem{Needs: []match.Need{n}}), Usual)
				want, got := float64(len(matchtest.Within(all, target, percent))), pl.estimate(n)
				if want > 30 && (got < want/4 || got > want*4) || want <= 30 && got > 120+4*want {
					t.Errorf("%d parts, %v within %v %%: about %v; there are %v", most, target, percent, got, want)
				}
			}
		}
	}
}
