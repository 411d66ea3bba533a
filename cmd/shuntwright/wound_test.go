package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/meter/nodal"
	"shuntwright/meter/wiring"
)

// woundRing is a random ring whose last section is a fraction of an ohm, and a
// drawer with what the others need, some wire, and what may stand beside that.
type woundRing struct {
	coil, full float64
	ranges     []float64
	ohms       map[string]float64 // of the parts, and of a metre of the spools
}

// sixDigits is a value as it is written with six digits.
func sixDigits(x float64) float64 {
	v, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
	return v
}

func randomWoundRing(rng *rand.Rand) woundRing {
	w := woundRing{coil: math.Round(200 + rng.Float64()*3000), full: 50e-6, ohms: map[string]float64{}}
	w.ranges = []float64{1e-3, 100e-3, math.Round(500*(1+rng.Float64())) / 1e3}
	whole := w.coil * w.full / (w.ranges[0] - w.full)
	tap := func(i int) float64 { return (w.coil + whole) * w.full / w.ranges[i] }
	for i := range 2 {
		for k, off := range []float64{0.002, -0.13, 0.2} {
			w.ohms[fmt.Sprintf("P%d%d", i, k)] = sixDigits((tap(i) - tap(i+1)) * (1 + off*rng.Float64()))
		}
	}
	w.ohms["W1"] = sixDigits(tap(2) / (0.008 + 0.06*rng.Float64())) // from 8 mm on: too short alone
	w.ohms["P9"] = sixDigits(tap(2) * (1.2 + 0.5*rng.Float64()))
	return w
}

// files writes the meter and the drawer.
func (w woundRing) files(t *testing.T) {
	var names []string
	for _, r := range w.ranges {
		names = append(names, fmt.Sprintf("%q", w.name(r)))
	}
	put(t, ".", "ring.json", fmt.Sprintf(`{"name": "ring", "movement": {"full_scale": "50 uA", "coil": "%g ohm"}, "class": 2.5, "circuits": [{"circuit": "ring", "ranges": [%s]}]}`,
		w.coil, strings.Join(names, ", ")))
	drawer := fmt.Sprintf("id,ohms,metres,amperes,watts\nW1,%g ohm/m,5,2,\n", w.ohms["W1"])
	for _, id := range []string{"P00", "P01", "P02", "P10", "P11", "P12", "P9"} {
		drawer += fmt.Sprintf("%s,%g,,,5\n", id, w.ohms[id])
	}
	put(t, ".", "drawer.csv", drawer)
}

func (w woundRing) name(amperes float64) string { return fmt.Sprintf("%g mA", amperes*1e3) }

// errors is how far every range is off with these sections, in percent, from the
// nodes of the circuit alone.
func (w woundRing) errors(t *testing.T, sections []float64) []float64 {
	var out []float64
	for tap, r := range w.ranges {
		net := &nodal.Netlist{}
		nodes := []string{"t0", "t1", "t2", "0"}
		for i, ohms := range sections {
			net.Resistor(nodes[i], nodes[i+1], ohms)
		}
		coil := net.Resistor("t0", "0", w.coil)
		net.CurrentSource("0", nodes[tap], r)
		solved, err := net.Solve()
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, 100*(math.Abs(solved.Through(coil))/w.full-1))
	}
	return out
}

// A section wound of wire, alone or with a part beside it, is planned, fitted and
// predicted; the circuit's nodes say the same of the text that was written: the
// length of the wire times what a metre of it has.
func TestWoundRing(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 3))
	joined := map[wiring.Op]int{}
	for round := range 40 {
		t.Chdir(t.TempDir())
		w := randomWoundRing(rng)
		w.files(t)
		last := w.name(w.ranges[2])
		do(t, fmt.Sprintf("fit ring.json --parts 1 --wind %q", "ring "+last))
		var answer predict.Answer
		answered(t, &answer, words("predict ring.json")...)
		var sections []float64
		for _, p := range answer.Positions {
			n, err := wiring.Parse(p.Network)
			if err != nil {
				t.Fatal(err)
			}
			var values []float64
			for _, l := range n.Leaves() {
				if v := w.ohms[l.ID]; l.IsWire() {
					values = append(values, v*l.Length.Base)
				} else {
					values = append(values, v)
				}
			}
			sections = append(sections, n.Resistance(values))
			if strings.Contains(p.Network, "W1") {
				joined[n.Op]++
			}
		}
		for i, want := range w.errors(t, sections) {
			if got := *answer.Ranges[i].FullScaleError; math.Abs(got-want) > 1e-9 {
				t.Errorf("round %d: %s: %v %%, by the nodes %v %%", round, w.name(w.ranges[i]), got, want)
			}
		}
		target := (w.coil + w.coil*w.full/(w.ranges[0]-w.full)) * w.full / w.ranges[2]
		if off := sections[2]/target - 1; math.Abs(off) > 5e-4 { // four digits of a length
			t.Errorf("round %d: wound to %g Ω, off by %g", round, sections[2], off)
		}
	}
	if joined[wiring.Leaf] < 5 || joined[wiring.Parallel] < 1 {
		t.Errorf("not all kinds of windings were met: %v", joined)
	}
}

// What is printed as a limit holds as often as it should where everything is drawn
// at random that the files leave unsure: wire to half a millimetre, a shunt in
// the lead to its stated limit, a contact by all of itself, one gain error of the
// instrument for coil, parts and wire, and the rest of its promise for each.
// More than 95 % where a rectangle nearly dominates and k is 1.96 all the same.
// Formulas of a universal shunt, of a shunt in the lead and of a shunt.
func TestLimitsOfWireAndOfWhatIsGiven(t *testing.T) {
	t.Chdir(t.TempDir())
	put(t, ".", "instruments.json", `{"bridge": {"gain_percent": 0.05, "floor": "0.5 mohm", "wires": 4}}`)
	put(t, ".", "drawer.csv", "id,ohms,instrument,metres\nR1,11.0,bridge,\nR2,4.58,bridge,\nR3,1.00510,bridge,\nW1,2.22 ohm/m,bridge,5\n")
	put(t, ".", "m.json", `{"name": "m", "movement": {"full_scale": "1 mA", "coil": "100 ohm", "instrument": "bridge"}, "class": 2.5, "circuits": [
  {"circuit": "ring", "ranges": ["10 mA", "1 A"], "fitted": {"10 mA": "R1", "1 A": "W1[50.00 mm]"}},
  {"circuit": "external-shunt", "range": "250 mA", "shunt": "0.42 ohm", "shunt_limit_percent": 1, "fitted": "R2"},
  {"circuit": "shunt", "range": "100 mA", "contact": "5 mohm", "fitted": "R3"}]}`)
	var answer predict.Answer
	answered(t, &answer, words("predict m.json")...)
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
			if off := 100*(reads/1e-3-1) - *answer.Ranges[i].FullScaleError; math.Abs(off) <= *answer.Ranges[i].LimitPercent {
				inside[i]++
			}
		}
	}
	for i, n := range inside {
		if share := float64(n) / trials; share < 0.94 || share > 0.99 {
			t.Errorf("%s: %+.3f ±%.3f %% holds in %.1f %% of the trials, not in 95", answer.Ranges[i].Range, *answer.Ranges[i].FullScaleError, *answer.Ranges[i].LimitPercent, 100*share)
		}
	}
}
