package solve

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
)

// A section of a chain that nothing within 20 % fills takes the nearest network
// that there is, so that the others are whole; a position of its own stays
// open, and so does the section where the window was meant.
func TestPlanReachesForASection(t *testing.T) {
	m := matchtest.NewMeter(1e-3, 100, matchtest.Circuit{Kind: matchtest.Chain, Full: []float64{1, 10}}, matchtest.Circuit{Kind: matchtest.Multiplier, Full: []float64{50}})
	p := m.Problem(1, 0.2)
	p.Resolution = 0.05
	s := stockOf(t, 1150, 9000, 30000)
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

// Nothing is reached for that lets full scale overdrive the movement, by itself or
// by what the others take, and nothing for a range that stays useless: what then is
// in the sections, by hand.
func TestPlanReachesForNoHarm(t *testing.T) {
	chain := matchtest.Circuit{Kind: matchtest.Chain, Full: []float64{1, 1.5}}      // 900 and 500 ohms
	longer := matchtest.Circuit{Kind: matchtest.Chain, Full: []float64{1, 1.5, 10}} // and 8500 ohms
	ring := matchtest.Circuit{Kind: matchtest.Ring, Full: []float64{10e-3, 100e-3}}
	for _, test := range []struct {
		what    string
		circuit matchtest.Circuit
		stock   []float64
		want    []float64 // 0: open
		without bool      // something that did harm beside these: beside others it may not, so nothing is proven
	}{
		{"one ohm, and nothing else", chain, []float64{1}, []float64{0, 0}, false},
		{"1 V reads 25 % high", chain, []float64{700, 500}, []float64{0, 500}, false},
		{"1.5 V reads 15.4 % high", chain, []float64{900, 300}, []float64{900, 300}, false},
		{"1.5 V reads 21 % high where 1 V reads true", chain, []float64{900, 240}, []float64{900, 0}, true},
		{"1.5 V reads 13.6 % high where 1 V reads low", chain, []float64{980, 240}, []float64{980, 240}, false},
		{"1 V reads low, 1.5 V is open", chain, []float64{2500}, []float64{0, 0}, false},
		{"1 V reads low, 1.5 V too", chain, []float64{2500, 500}, []float64{0, 500}, false},
		{"1 V reads 16.7 % low, 1.5 V 9 %", chain, []float64{1100, 450}, []float64{1100, 450}, false},
		{"1.5 V reads 21 % high, 10 V true", longer, []float64{900, 240, 8760}, []float64{900, 0, 8760}, true},
		{"10 V reads 22 % high by its own section", longer, []float64{900, 650, 6630}, []float64{900, 650, 0}, true},
		{"100 mA reads low, 10 mA nearly true", ring, []float64{10.5, 0.3}, []float64{10.5, 0.3}, false},
		{"100 mA reads 8 times as much", ring, []float64{10, 10}, []float64{10, 0}, false},
	} {
		m := matchtest.NewMeter(1e-3, 100, test.circuit)
		for _, resolution := range []float64{0, 0.05} {
			p := reaching(m.Problem(1, 0.2))
			p.Resolution = resolution
			plan, err := Plan(t.Context(), stockOf(t, test.stock...), p)
			var got []float64
			for _, n := range plan.Networks {
				got = append(got, n.Value())
			}
			if err != nil || !slices.Equal(got, test.want) || plan.Proven == test.without {
				t.Errorf("%s, by steps of %v: %v, want %v; %+v, error %v", test.what, resolution, got, test.want, plan, err)
			}
		}
	}
}

func reaching(p match.Problem) match.Problem {
	p.Needs = slices.Clone(p.Needs)
	for i := range p.Needs {
		p.Needs[i].Reach = true
	}
	return p
}

// The same of meters and drawers as they come: a section beyond its window never
// has a range read more than 20 % high, and some range of it reads.
func TestPlanNeverOverdrives(t *testing.T) {
	reached := 0
	for seed := range uint64(400) {
		values, p := matchtest.DrawMeter(rand.New(rand.NewPCG(seed, 29)))
		p = reaching(p)
		for i := range p.Needs {
			p.Needs[i].Within = 0.05
		}
		plan, err := Plan(t.Context(), stockOf(t, values...), p)
		if err != nil {
			t.Fatal(err)
		}
		for i, n := range plan.Networks {
			times := n.Value() / p.Needs[i].Target
			if n.IsZero() || times > 0.95 && times < 1.05 {
				continue
			}
			reached++
			gains := false
			for r, e := range plan.Errors {
				if rising := p.Response.Rising(r, i); float64(rising)*(times-1) > 0 && e > 20 {
					t.Errorf("seed %d: range %d reads %v %% high for %v of the target in %d", seed, r, e, times, i)
				} else if rising != 0 && e < 5 && e > -5 {
					gains = true
				}
			}
			if !gains {
				t.Errorf("seed %d: nothing gains by %v of the target in %d: %v", seed, times, i, plan.Errors)
			}
		}
	}
	if reached < 20 {
		t.Errorf("only %d sections reached beyond their windows", reached)
	}
}
