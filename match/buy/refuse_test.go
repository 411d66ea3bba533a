package buy

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
)

func TestInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	p := matchtest.Separate([]float64{120, 250, 400, 500}, 3, 0.2)
	got, err := Fewest(ctx, stockOf(t, 1, 2, 3), p, Offer{Values: []float64{100, 200}}, 2, 1)
	if err != nil || got.Found || got.Proven {
		t.Errorf("%+v, error %v", got, err)
	}
	p.Response.(*matchtest.Linear).Weights[0][1] = 0.1
	p.Needs[3].Within = 0.9
	if got, err := Fewest(ctx, stockOf(t, 1, 2, 3), p, Offer{Values: []float64{100, 200, 2500}}, 2, 1); err != nil || got.Found || got.Proven {
		t.Errorf("coupled: %+v, error %v", got, err)
	}
}

func TestBadInput(t *testing.T) {
	s := stockOf(t, 1)
	p := matchtest.Separate([]float64{2}, 1, 1)
	bad := matchtest.Separate([]float64{-2}, 1, 1)
	for _, c := range []struct {
		p      match.Problem
		values []float64
		most   int
		class  float64
		want   string
	}{
		{p, nil, 1, 1, "no values"},
		{p, []float64{1}, 0, 1, "at least 1"},
		{p, []float64{1}, 1, 0, "class"},
		{p, []float64{1}, 1, -1, "class"},
		{p, []float64{1}, 1, math.NaN(), "class"},
		{p, []float64{1}, 1, math.Inf(1), "class"},
		{p, []float64{1, 0}, 1, 1, "value 2"},
		{p, []float64{math.NaN()}, 1, 1, "value 1"},
		{bad, []float64{1}, 1, 1, "position 1"},
	} {
		if _, err := Fewest(t.Context(), s, c.p, Offer{Values: c.values}, c.most, c.class); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("error %v; want one of %q", err, c.want)
		}
	}
}

// Two coupled positions could take the same part, and a third needs a piece.
func TestCoupledLeavesEachItsPart(t *testing.T) {
	p := matchtest.Separate([]float64{47, 47.1, 200}, 1, 0.2)
	p.Response.(*matchtest.Linear).Weights[0][2] = 0.01
	got, err := Fewest(t.Context(), stockOf(t, 47, 47.1), p, Offer{Values: []float64{200, 1000}}, 2, 0.5)
	if err != nil || !got.Found || !got.Proven || !slices.Equal(got.Values, []float64{200}) || got.Plan.Worst > 1e-9 {
		t.Errorf("%+v, error %v", got, err)
	}
}
