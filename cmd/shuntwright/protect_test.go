package main

import (
	"strings"
	"testing"
)

// TestProtectAdvice: what helps is what helps against the parts that burn the
// movement, by how they fail. A shorted multiplier puts the whole voltage across
// the movement, where diodes at the shunt cannot help.
func TestProtectAdvice(t *testing.T) {
	const shunt, multiplier = "diodes across the shunt as well", "of two resistors in series"
	for _, test := range []struct {
		name, circuits, flags string
		shunt, multiplier     bool
	}{
		{"a multiplier", `{"circuit": "multiplier", "range": "250 V", "fitted": "249.9 kohm"}`, "", false, true},
		{"a shunt", `{"circuit": "shunt", "range": "100 mA", "fitted": "0.996 ohm"}`, "--supply 300V --source-ohms 100", true, false},
		{"both", `{"circuit": "shunt", "range": "100 mA", "fitted": "0.996 ohm"}, {"circuit": "multiplier", "range": "250 V", "fitted": "249.9 kohm"}`, "--supply 300V --source-ohms 100", true, true},
		{"nothing", `{"circuit": "multiplier", "range": "0.5 V", "fitted": "401.4 ohm"}`, "", false, false},
	} {
		dir := t.TempDir()
		meter := put(t, dir, "m.json", `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [`+test.circuits+`]}`)
		s := program(append([]string{"protect", meter, "--drawer", dir + "/none.csv"}, strings.Fields(test.flags)...)...)
		said := strings.Join(strings.Fields(s.out), " ")
		if got := strings.Contains(said, shunt); got != test.shunt {
			t.Errorf("%s: diodes across the shunt: %v, want %v\n%s", test.name, got, test.shunt, s.out+s.err)
		}
		if got := strings.Contains(said, multiplier); got != test.multiplier {
			t.Errorf("%s: two resistors in series: %v, want %v\n%s", test.name, got, test.multiplier, s.out+s.err)
		}
		if survives := strings.Contains(said, "the movement survives for a moment"); survives != !(test.shunt || test.multiplier) {
			t.Errorf("%s: survives %v\n%s", test.name, survives, s.out)
		}
	}
}
