package plan

import (
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/inventory"
	"shuntwright/meter/wiring"
)

// TestInstead: with B, 10300 ohm for 9900, the range reads 3.8 % low. That is no
// stand-in for what reads true where it is beyond the class, and one where it is
// within, or where the range was beyond it before.
func TestInstead(t *testing.T) {
	for _, test := range []struct {
		kept  string
		class float64
		is    bool
	}{{"9900", 1, false}, {"9900", 5, true}, {"12000", 1, true}} {
		p := &Planner{asbuilttest.Open(t, drifted, "id,ohms\nK,"+test.kept+"\nB,10300\n", "{}"),
			asbuilt.Asked{AtMost: 1, Within: 0.2, Derate: 0.5, Class: test.class, Resolution: 0.05}}
		made := NewOutcome(p, &Question{Open: []int{0}, Chosen: []int{0, 1}, Kept: map[int]wiring.Network{}})
		trial, err := p.Instead(t.Context(), &made, 0, func(part inventory.Part) bool { return part.ID == "K" })
		if err != nil || (trial != nil) != test.is || test.is && trial.Networks[0].String() != "B" {
			t.Errorf("%+v: %v, error %v", test, trial != nil, err)
		}
	}
}
