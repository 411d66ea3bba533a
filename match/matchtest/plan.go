package matchtest

import (
	"math"

	"shuntwright/match"
	"shuntwright/match/network"
)

// CheckPlan reports to t where networks use a part twice or one that is none of so
// many, and where an error that is not NaN differs from what the response says with
// open slots on their targets. It returns the largest magnitude of these errors, NaN
// if there is none.
func CheckPlan(t TB, p match.Problem, parts int, nets []network.Network, errors []float64) (worst float64) {
	t.Helper()
	worst = math.NaN()
	used := map[int]bool{}
	ohms, want := make([]float64, len(nets)), make([]float64, len(errors))
	for i, n := range nets {
		if ohms[i] = p.Needs[i].Target; !n.IsZero() {
			ohms[i] = n.Value()
		}
		for _, part := range n.Parts() {
			if used[part] || part < 0 || part >= parts {
				t.Errorf("slot %d: part %d is used twice, or is not there", i, part)
			}
			used[part] = true
		}
	}
	if len(errors) > 0 {
		p.Response.Errors(want, ohms)
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
