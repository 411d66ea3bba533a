package solve

import (
	"context"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
)

// A section of a chain that nothing within 20 % fills takes the nearest network
// that there is, so that the others are whole; a position of its own stays
// open, and so does the section where the window was meant.
func TestPlanReachesForASection(t *testing.T) {
	m := matchtest.NewMeter(1e-3, 100, matchtest.Circuit{Kind: matchtest.Chain, Full: []float64{1, 10}}, matchtest.Circuit{Kind: matchtest.Multiplier, Full: []float64{50}})
	p := matchtest.ProblemFor(m, 1, 0.2)
	p.Resolution = 0.05
	s := stockOf(t, 650, 9000, 30000)
	for reach, filled := range map[bool]int{false: 1, true: 2} {
		for i := range p.Needs {
			p.Needs[i].Reach = reach
		}
		ended, stop := context.WithCancel(t.Context())
		stop()
		if early, err := Plan(ended, s, p); err != nil || early.Key.Filled != filled {
			t.Errorf("reach %v without any time: %+v, error %v", reach, early, err)
		}
		got, err := Plan(t.Context(), s, p)
		if err != nil || got.End != match.Exact || got.Key.Filled != filled || got.Filled[0] != reach || !got.Filled[1] || got.Filled[2] {
			t.Errorf("reach %v: %+v, error %v", reach, got, err)
		}
	}
}
