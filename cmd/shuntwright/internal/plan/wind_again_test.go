package plan

import (
	"math"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/inventory"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// What was wound is cut and trimmed as when it was planned: the spool had then
// what is off it since.
func TestFitted(t *testing.T) {
	const meter = `{"movement": {"full_scale": "1 mA", "coil": "99 ohm"}, "circuits": [
		{"circuit": "shunt", "range": "100 mA", "fitted": "W1[500 mm]"}, {"circuit": "shunt", "range": "10 mA", "fitted": "W1[2.5 m] || R1"},
		{"circuit": "shunt", "range": "20 mA", "fitted": "5.2 ohm"}, {"circuit": "shunt", "range": "30 mA"}, {"circuit": "shunt", "range": "40 mA", "fitted": "W1[1 m] + 2 ohm + 3 ohm"}]}`
	s := asbuilttest.Open(t, meter, "id,ohms,metres,amperes\nW1,2 ohm/m,0.01,1\nR1,5.2,,\n", "{}")
	w, is := Fitted(s, 0)
	if amperes, volts := w.Trim(); !is || math.Abs(w.Ohms-1) > 1e-12 || math.Abs(volts-w.Ohms*amperes) > 1e-12 || w.Metres != 0.5 || math.Abs(w.Cut()-0.51) > 1e-12 || w.Beside != "" {
		t.Errorf("%v %+v", is, w) // 99 ohm / 99; 510 mm were on the spool
	}
	if w, is := Fitted(s, 1); !is || w.Beside != "R1" || w.Op != wiring.Parallel || math.Abs(w.Ohms-11) > 1e-12 {
		t.Errorf("%v %+v", is, w)
	}
	for i := 2; i < 5; i++ {
		if w, is := Fitted(s, i); is {
			t.Errorf("%d: %+v", i, w)
		}
	}
}

// A tenth more than it will be, and two joints of 10 mm, which on a short piece are
// most of that; more where a table may promise too much, all that is left where that
// is less.
func TestCut(t *testing.T) {
	for _, c := range []struct{ metres, tolerance, left, want float64 }{
		{1, math.NaN(), 5, 1.12}, {1, 5, 5, 1.12}, {1, 20, 5, 1.27}, {1, math.NaN(), 1.05, 1.05}, {0.03085, math.NaN(), 5, 0.053935},
	} {
		spool := inventory.NewPart(quantity.Value{Base: 2, Unit: quantity.OhmPerMetre})
		spool.Metres, spool.TolerancePercent = c.left, c.tolerance
		if got := (Wound{Ohms: 2, Amperes: 1, Spool: spool, Metres: c.metres}).Cut(); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%+v: %v", c, got)
		}
	}
}
