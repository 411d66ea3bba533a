package objective_test

import (
	"testing"

	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
	"shuntwright/match/objective"
)

// What would overdrive the movement whatever the other sections take is not looked
// at in the first place; what only may is left to them.
func TestReachLeavesOutWhatMustOverdrive(t *testing.T) {
	m := matchtest.NewMeter(1e-3, 100, matchtest.Circuit{Kind: matchtest.Chain, Full: []float64{1, 1.5}})
	for _, test := range []struct {
		stock []float64
		far   [2]bool
	}{
		{[]float64{1}, [2]bool{false, false}},        // 1 V reads 890 % high
		{[]float64{900, 240}, [2]bool{false, true}},  // 1.5 V does not where the first has 1080 ohms
		{[]float64{1000, 50}, [2]bool{false, false}}, // it does
		{[]float64{1300, 450}, [2]bool{true, false}}, // 1.5 V reads 18.9 % low, 16.7 % where the second has 400 ohms
		{[]float64{2500, 450}, [2]bool{false, false}},
	} {
		p := m.Problem(1, 0.2)
		for i := range p.Needs {
			p.Needs[i].Reach = true
		}
		s, err := enumerate.NewStock(matchtest.Parts(test.stock))
		if err != nil {
			t.Fatal(err)
		}
		pl := objective.New(t.Context(), s, p)
		for i, n := range pl.Needs {
			if far := n.Within > p.Needs[i].Within; far != test.far[i] {
				t.Errorf("%v: section %d reaches: %v, by %v", test.stock, i+1, far, n.Within)
			}
		}
	}
}
