package main

import (
	"testing"
)

// opened is the setup of a meter file, with the flags of check.
func opened(t *testing.T, meter, drawer string, flags ...string) (*call, *setup) {
	t.Helper()
	c := &call{ctx: t.Context(), env: env{getenv: func(string) string { return "" }}, command: checkCommand()}
	if _, err := c.parse(append([]string{meter, "--drawer", drawer}, flags...)); err != nil {
		t.Fatal(err)
	}
	s, err := c.openSetup(meter, false)
	if err != nil {
		t.Fatal(err)
	}
	return c, s
}

// coupledBench is an invented meter whose parts move several ranges at once,
// measured with two instruments and with limits of their own.
const (
	coupledBench = `{"name": "multi", "class": 2.5,
 "movement": {"full_scale": "1 mA", "full_scale_limit_percent": 0.3, "coil": "98.6 ohm", "instrument": "hand meter"},
 "circuits": [
  {"circuit": "ring", "ranges": ["3 mA", "10 mA", "30 mA"], "fitted": {"3 mA": "34.5 ohm", "10 mA": "S1 || S2", "30 mA": "4.93 ohm"}},
  {"circuit": "chain", "ranges": ["3 V", "15 V"], "fitted": {"3 V": "C1", "15 V": "12.0 kohm"}},
  {"circuit": "shunt", "range": "50 mA"}]}`
	coupledDrawer = `id,ohms,instrument,gain_percent,floor_ohms
S1,11.9,hand meter,,
S2,57.5,,0.4,0.05
C1,2.901k,bridge,,
`
	coupledInstruments = `{"hand meter": {"gain_percent": 0.8, "counts": 1}, "bridge": {"gain_percent": 0.05, "floor": "0.5 mohm", "wires": 4}}`
)
