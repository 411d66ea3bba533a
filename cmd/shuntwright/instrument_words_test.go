package main

import (
	"strings"
	"testing"
)

// TestInstrumentAssumed: an answer says that resistances of the meter file were
// read with the movement's instrument, and which limits rest on that an
// instrument errs alike on all its ranges: those of shunts whose coil it read,
// not those of multipliers, nor where another instrument read the shunt.
func TestInstrumentAssumed(t *testing.T) {
	dir := t.TempDir()
	instruments := put(t, dir, "instruments.json", `{"bridge": {"gain_percent": 0.1, "floor": "1 mohm"}, "pocket": {"gain_percent": 0.8, "floor": "1 mohm"}}`)
	drawer := put(t, dir, "drawer.csv", "id,ohms,instrument\nA,10.95,bridge\nB,10.95,pocket\nC,9.9k,bridge\n")
	const alike = "an instrument errs alike on all its ranges"
	for _, c := range []struct {
		shunt, volts  string
		written, near bool
	}{
		{"A", "C", false, true}, {"B", "C", false, false}, {"10.95 ohm", "C", true, true}, {"B", "9.9 kohm", true, false},
	} {
		meter := put(t, t.TempDir(), "m.json", `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm", "instrument": "bridge"}, "circuits": [
			{"circuit": "shunt", "range": "10 mA", "fitted": "`+c.shunt+`"}, {"circuit": "multiplier", "range": "10 V", "fitted": "`+c.volts+`"}]}`)
		text := plainText(program("predict", meter, "--drawer", drawer, "--instruments", instruments).out)
		if got := strings.Contains(text, `resistances in the file were read with "bridge", like the coil`); got != c.written {
			t.Errorf("%s and %s: written %v, want %v: %s", c.shunt, c.volts, got, c.written, text)
		}
		if got := strings.Contains(text, alike); got != c.near || got && !strings.Contains(text, "; matters most on 10 mA assumed") {
			t.Errorf("%s and %s: alike %v, want %v: %s", c.shunt, c.volts, got, c.near, text)
		}
	}
	meter := put(t, t.TempDir(), "m.json", `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [{"circuit": "shunt", "range": "10 mA"}]}`)
	if s := program("fit", meter, "10 mA", "11 5%", "--drawer", drawer, "--instruments", instruments); s.code != exitWrong || !strings.Contains(s.err, "drawer add --nominal 4M --tolerance 5 --id NAME, then fit NAME") {
		t.Errorf("%+v", s)
	}
}
