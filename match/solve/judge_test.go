package solve

import (
	"slices"
	"testing"

	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

func TestJudge(t *testing.T) {
	s := stockOf(t, 101, 48, 7)
	p := matchtest.Separate([]float64{100, 47, 7}, 1, 0.2)
	plan, err := Plan(t.Context(), s, p)
	if err != nil {
		t.Fatal(err)
	}
	nets := slices.Clone(plan.Networks)
	nets[2] = network.Network{}
	got, err := Judge(s, p, nets)
	if err != nil || got.Proven || got.Worst != plan.Worst || got.Bound != 0 || !slices.Equal(got.Filled, []bool{true, true, false}) {
		t.Errorf("%+v, error %v", got, err)
	}
	if _, err := Judge(s, p, nets[:2]); err == nil {
		t.Error("two networks for three positions: no error")
	}
	p.Needs[0].AtMost = 9
	if _, err := Judge(s, p, nets); err == nil {
		t.Error("nine parts: no error")
	}
}
