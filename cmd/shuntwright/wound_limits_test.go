package main

import (
	"math"
	"math/rand/v2"
	"testing"
)

// What is printed as a limit holds as often as it should where everything is drawn
// at random that the files leave unsure: wire to half a millimetre, a shunt in
// the lead to its stated limit, a contact by all of itself, one gain error of the
// instrument for coil, parts and wire, and the rest of its promise for each.
// More than 95 % where a rectangle nearly dominates and k is 1.96 all the same.
// Formulas of a universal shunt, of a shunt in the lead and of a shunt.
func TestLimitsOfWireAndOfWhatIsGiven(t *testing.T) {
	t.Chdir(t.TempDir())
	write(t, "instruments.json", `{"bridge": {"gain_percent": 0.05, "floor": "0.5 mohm", "wires": 4}}`)
	write(t, "drawer.csv", "id,ohms,instrument,metres\nR1,11.0,bridge,\nR2,4.58,bridge,\nR3,1.00510,bridge,\nW1,2.22 ohm/m,bridge,5\n")
	write(t, "m.json", `{"name": "m", "movement": {"full_scale": "1 mA", "coil": "100 ohm", "instrument": "bridge"}, "class": 2.5, "circuits": [
  {"circuit": "ring", "ranges": ["10 mA", "1 A"], "fitted": {"10 mA": "R1", "1 A": "W1[50.00 mm]"}},
  {"circuit": "external-shunt", "range": "250 mA", "shunt": "0.42 ohm", "shunt_limit_percent": 1, "fitted": "R2"},
  {"circuit": "shunt", "range": "100 mA", "contact": "5 mohm", "fitted": "R3"}]}`)
	var answer struct {
		Ranges []struct {
			Range string
			Error float64 `json:"full_scale_error_percent"`
			Limit float64 `json:"limit_percent"`
		}
	}
	answerOf(t, "shuntwright predict m.json", &answer)
	rng := rand.New(rand.NewPCG(1, 13))
	within := func(limit float64) float64 { return limit * (2*rng.Float64() - 1) }
	const trials = 40000
	inside := make([]int, len(answer.Ranges))
	for range trials {
		gain := 1 + within(0.0005)
		read := func(ohms, floor float64) float64 { return ohms*gain + within(floor) }
		coil, r1, r2, r3 := read(100, 0.0005), read(11, 0.0005), read(4.58, 0.0005), read(1.0051, 0.0005)
		wire := read(0.111, 0.0005+0.0005*2.22)
		shunt, contact := 0.42*(1+within(0.01)), 0.005*(1+within(1))
		loop := coil + r1 + wire
		for i, reads := range []float64{10e-3 * (r1 + wire) / loop, 1 * wire / loop, 250e-3 * shunt / (shunt + r2 + coil), 100e-3 * (r3 + contact) / (r3 + contact + coil)} {
			if off := 100*(reads/1e-3-1) - answer.Ranges[i].Error; math.Abs(off) <= answer.Ranges[i].Limit {
				inside[i]++
			}
		}
	}
	for i, n := range inside {
		if share := float64(n) / trials; share < 0.94 || share > 0.99 {
			t.Errorf("%s: %+.3f ±%.3f %% holds in %.1f %% of the trials, not in 95", answer.Ranges[i].Range, answer.Ranges[i].Error, answer.Ranges[i].Limit, 100*share)
		}
	}
}
