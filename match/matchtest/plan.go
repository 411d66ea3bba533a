package matchtest

import (
	"math"

	"shuntwright/match"
)

// Fill is what a plan has in one slot; the zero Fill where it is open.
type Fill struct {
	Value float64
	Parts []int
}

// CheckFills reports to t where a part is used twice or is none of so many, and
// where an error that is not NaN differs from what resp says with open slots on
// their targets. It returns the largest magnitude of these errors, NaN if there
// is none.
func CheckFills(t TB, resp match.Response, targets []float64, parts int, fills []Fill, errors []float64) (worst float64) {
	t.Helper()
	worst = math.NaN()
	used := map[int]bool{}
	ohms, want := make([]float64, len(targets)), make([]float64, len(errors))
	copy(ohms, targets)
	for i, f := range fills {
		if f.Value > 0 {
			ohms[i] = f.Value
		}
		for _, part := range f.Parts {
			if used[part] || part < 0 || part >= parts {
				t.Errorf("slot %d: part %d is used twice, or is not there", i, part)
			}
			used[part] = true
		}
	}
	if len(errors) > 0 {
		resp.Errors(want, ohms)
	}
	for r, e := range errors {
		if math.IsNaN(e) {
			continue
		}
		if e != want[r] {
			t.Errorf("range %d: error %v, want %v", r, e, want[r])
		}
		if a := math.Abs(e); !(a <= worst) {
			worst = a
		}
	}
	return worst
}
