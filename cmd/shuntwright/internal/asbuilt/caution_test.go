package asbuilt_test

import (
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/inventory"
)

// TestOf: ranges above 60 V d.c., and those in a lead that is, are named.
func TestOf(t *testing.T) {
	for _, test := range []struct {
		circuits string
		want     []string // named
	}{
		{`{"circuit": "multiplier", "range": "60 V"}, {"circuit": "shunt", "range": "10 mA"}`, nil},
		{`{"circuit": "multiplier", "range": "61 V"}, {"circuit": "multiplier", "range": "15 V"}`, []string{"61 V range"}},
		{`{"circuit": "shunt", "range": "10 mA", "circuit_volts": "450 V"}, {"circuit": "shunt", "range": "5 mA", "circuit_volts": "-300 V"}`,
			[]string{"10 mA (in a lead at 450 V)", "5 mA (in a lead at 300 V)"}},
		{`{"circuit": "shunt", "range": "10 mA", "circuit_volts": "60 V"}`, nil},
	} {
		s := asbuilttest.Open(t, `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [`+test.circuits+`]}`, "id,ohms\n", "{}")
		got := asbuilt.Of(s.Meter)
		if want := strings.Join(test.want, ", ") + ": " + asbuilt.Voltage; len(test.want) == 0 && got != nil || len(test.want) > 0 && (len(got) != 1 || got[0].Text != want) {
			t.Errorf("%s: %q, want %q", test.circuits, got, want)
		}
		for _, c := range got {
			if long := len("caution: " + c.Line); long > 80 || !strings.HasPrefix(c.Line, "over 60 V: ") || !strings.HasSuffix(c.Line, "; see shuntwright help safety") {
				t.Errorf("%s: %d columns: %s", test.circuits, long, c.Line)
			}
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
