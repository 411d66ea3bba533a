package meter_test

import (
	"fmt"
	"math"
	"testing"

	"shuntwright/meter/meterfile"
	"shuntwright/meter/spicetest"
)

func TestSimulatorTargets(t *testing.T) {
	cases, err := spicetest.Load("../testdata/spice")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, c := range cases {
		if c.Targets == nil {
			continue
		}
		f, err := meterfile.Parse(c.Name, c.Meter)
		if err != nil {
			t.Fatal(err)
		}
		targets, err := f.Meter.Targets()
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range c.Targets {
			at, ok := f.Meter.FindPosition(want.Position)
			if !ok || math.Abs(targets[at]/want.TargetOhms-1) > 1e-13 {
				t.Errorf("%s: %s: target %v, want %v", c.Name, want.Position, targets[max(at, 0)], want.TargetOhms)
			}
			n++
		}
	}
	if n < 20 {
		t.Errorf("only %d targets", n)
	}
}

func parseOhms(text string) (float64, error) {
	var x float64
	var unit string
	if _, err := fmt.Sscanf(text, "%g %s", &x, &unit); err != nil {
		return 0, err
	}
	scale, ok := map[string]float64{"ohm": 1, "mohm": 1e-3}[unit]
	if !ok {
		return 0, fmt.Errorf("unit %q", unit)
	}
	return x * scale, nil
}
