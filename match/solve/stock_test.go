package solve

import (
	"math"
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
)

func stockOf(t testing.TB, values ...float64) *enumerate.Stock {
	t.Helper()
	s, err := enumerate.NewStock(matchtest.Parts(values))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Of a stock without parts nothing is filled but by what is kept, what is whole all
// the same is judged, and nothing comes earlier.
func TestNothingToChooseFrom(t *testing.T) {
	s := stockOf(t)
	need := match.Need{Target: 10, Within: 0.2, AtMost: 2, Keep: math.NaN(), KeepBears: math.Inf(1), Flow: math.NaN(), Drop: math.NaN(), Reach: true}
	for _, resolution := range []float64{0, 0.05} {
		p := match.Problem{Needs: []match.Need{need, need}, Ranges: 3, Response: sums{}, Class: 2, Resolution: resolution}
		got, err := Plan(t.Context(), s, p)
		if err != nil || got.Key.Filled != 0 || got.Key.Whole != 1 || !got.Proven || got.Worst != 7 || got.Bound != 7 || len(got.Networks) != 2 {
			t.Errorf("resolution %v: %+v, %v", resolution, got, err)
		}
		p.Needs[1].Keep = 10.5
		if got, err := Plan(t.Context(), s, p); err != nil || got.Key.Filled != 1 || got.Key.Whole != 2 || got.Networks[1].Value() != 10.5 || got.Errors[1] != 0.5 {
			t.Errorf("resolution %v, kept: %+v, %v", resolution, got, err)
		}
		p.Needs[1].Keep = 13
		if got, err := Plan(t.Context(), s, p); err != nil || got.Key.Filled != 1 || got.Errors[1] != 3 {
			t.Errorf("resolution %v, kept beyond its window: %+v, %v", resolution, got, err)
		}
		if f, err := Foresee(t.Context(), s, p); err != nil || f.Exceeds() {
			t.Errorf("resolution %v: %+v, %v", resolution, f, err)
		}
	}
}

// sums are two ranges that two positions share, and one that is 7 % off by itself.
type sums struct{}

func (sums) Errors(dst, ohms []float64) {
	dst[0], dst[1], dst[2] = ohms[0]+ohms[1]-20, ohms[1]-10, -7
}

func (sums) Rising(r, s int) int {
	if r == 2 || r == 1 && s == 0 {
		return 0
	}
	return 1
}
