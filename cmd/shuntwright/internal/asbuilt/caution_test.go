package asbuilt_test

import (
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/inventory"
)

// TestCautions: ranges above 60 V d.c., and those in a lead that is, are named, and a
// switch between leads at different voltages must not make before it breaks (common
// practice: it shorts them).
func TestCautions(t *testing.T) {
	for _, test := range []struct{ circuits, want string }{
		{`{"circuit": "multiplier", "range": "60 V"}, {"circuit": "shunt", "range": "10 mA"}`, ""},
		{`{"circuit": "multiplier", "range": "61 V"}, {"circuit": "multiplier", "range": "15 V"}`, "61 V range: " + asbuilt.VoltageCaution},
		{`{"circuit": "shunt", "range": "10 mA", "circuit_volts": "450 V"}, {"circuit": "shunt", "range": "5 mA", "circuit_volts": "-300 V"}`,
			"10 mA (in a lead at 450 V), 5 mA (in a lead at 300 V): " + asbuilt.VoltageCaution + "; leads up to 750 V apart: the switch must break before it makes, " +
				"or it shorts them, and must stand that; shunts stay in their leads (external-shunt)"},
		{`{"circuit": "shunt", "range": "10 mA", "circuit_volts": "60 V"}`, ""},
		{`{"circuit": "shunt", "range": "10 mA", "circuit_volts": "60 V"}, {"circuit": "shunt", "range": "5 mA", "circuit_volts": "60 V"}`, ""},
		{`{"circuit": "external-shunt", "range": "10 mA", "series": "0", "circuit_volts": "60 V"}, {"circuit": "multiplier", "range": "15 V"}`, ""},
	} {
		s := asbuilttest.Open(t, `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [`+test.circuits+`]}`, "id,ohms\n", "{}")
		got := asbuilt.Cautions(s.Meter)
		if len(got) == 0 && test.want == "" {
			continue
		}
		if len(got) != 1 || got[0].Text != test.want {
			t.Errorf("%s: %q, want %q", test.circuits, got, test.want)
			continue
		}
		if long := len("caution: " + got[0].Line); long > 80 || !strings.HasPrefix(got[0].Line, "over 60 V: ") || !strings.HasSuffix(got[0].Line, "; see shuntwright help safety") {
			t.Errorf("%s: %d columns: %s", test.circuits, long, got[0].Line)
		}
	}
}

// TestAssumptions: what nobody measured is said once.
func TestAssumptions(t *testing.T) {
	used := []inventory.Measured{
		{ID: "R1", Assumed: true}, {ID: "R2", Assumed: true},
		{ID: "R3", Marked: true}, {ID: "R4", Marked: true}, {ID: "R3", Marked: true},
	}
	got := asbuilt.Assumptions(used)
	if len(got) != 2 || !strings.Contains(got[0], "±0.8 %") || !strings.HasSuffix(got[1], ": R3, R4") {
		t.Errorf("%q", got)
	}
	if got := asbuilt.Assumptions(used[2:3]); len(got) != 1 {
		t.Errorf("%q", got)
	}
}
