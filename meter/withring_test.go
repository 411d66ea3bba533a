package meter_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/nodal"
	"shuntwright/meter/quantity"
)

// ranges are so many settings in a unit, named by what they are.
func ranges(unit quantity.Unit, fullScales ...float64) []meter.Range {
	var out []meter.Range
	for _, x := range fullScales {
		out = append(out, meter.Range{Name: strconv.FormatFloat(x, 'g', -1, 64) + " " + string(unit), FullScale: x, Unit: unit, CircuitVolts: math.NaN()})
	}
	return out
}

// multimeter is a ring, and a chain that feeds one of its taps while it stays
// across the movement. The ring comes second, as it may.
func multimeter(t testing.TB, mv meter.Movement, taps, volts []meter.Range, tap string, ringSwamp float64) (*meter.Meter, error) {
	t.Helper()
	chain, err1 := meter.NewCircuit("chain", meter.Spec{Ranges: volts, WithRing: tap})
	ring, err2 := meter.NewCircuit("ring", meter.Spec{Ranges: taps, Given: map[string]float64{"swamp": ringSwamp}})
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	return meter.New("multimeter", mv, math.NaN(), []meter.Circuit{chain, ring})
}

// Published instruments and rings with voltage ranges through them
// (testdata/published/with-ring.csv): what the multipliers must be, the total
// resistance as printed, and what a multiplier made without a thought of the
// ring would turn the range into.
func TestPublishedWithRing(t *testing.T) {
	for _, row := range rows(t, "with-ring.csv", 5) {
		mv := meter.NewMovement(row.Number(t, "full_scale_a"), row.Number(t, "branch_ohms"))
		volts := ranges(quantity.Volt, row.Numbers(t, "ranges_v")...)
		m, err := multimeter(t, mv, ranges(quantity.Ampere, row.Numbers(t, "ring_ranges_a")...), volts, row["tap_a"]+" A", 0)
		if err != nil {
			t.Fatal(err)
		}
		got := targets(t, m)
		for i, want := range row.Numbers(t, "exact_sections_ohms") {
			exactly(t, row["id"], got[i], want)
		}
		p := m.Predict(got)
		if row["printed_totals_ohms"] != "" {
			for i, want := range row.Numbers(t, "printed_totals_ohms") {
				exactly(t, row["id"]+" total", p.Ranges[i].InputOhms, want)
			}
		}
		if row["without_ring_ohms"] != "" {
			got[0] = row.Number(t, "without_ring_ohms")
			if mark := m.Predict(got).Ranges[0].LastMark; math.Abs(mark/row.Number(t, "then_range_v")-1) > 1e-3 {
				t.Errorf("%s: a multiplier of %v ohm makes it %v V, want %s", row["id"], got[0], mark, row["then_range_v"])
			}
		}
	}
}

// The same booklet prints what its current ranges are between the terminals:
// 300, 76, 20, 4, 0.8 and 0.2 ohm.
func TestPublishedRingResistances(t *testing.T) {
	m, err := multimeter(t, meter.NewMovement(0.75e-3, 1200), ranges(quantity.Ampere, 0.003, 0.015, 0.06, 0.3, 1.5, 6), ranges(quantity.Volt, 6), "0.003 A", 0)
	if err != nil {
		t.Fatal(err)
	}
	printed := []string{"300", "76", "20", "4", "0.8", "0.2"}
	for i, p := range m.Predict(targets(t, m)).Ranges[1:] {
		_, decimals, _ := strings.Cut(printed[i], ".")
		if got := strconv.FormatFloat(p.InputOhms, 'f', len(decimals), 64); got != printed[i] {
			t.Errorf("%s: %v ohm, printed %s", m.Ranges()[1+i].Name, p.InputOhms, printed[i])
		}
	}
}

// Random rings and chains, any tap, values off their targets: the closed
// formulas against nodal analysis of the circuit as one would solder it, the
// whole ring from the movement's end to the common end and the chain into the
// tap, without the package's own paths.
func TestWithRingAgainstNodal(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 13))
	between := func(lo, hi float64) float64 { return lo * math.Pow(hi/lo, r.Float64()) }
	for range 200 {
		mv := meter.NewMovement(between(20e-6, 5e-3), between(20, 5000))
		mv.SwampOhms = float64(r.IntN(2)) * between(10, 5000)
		im, ringSwamp := mv.FullScaleAmperes, float64(r.IntN(2))*between(10, 5000)
		amperes, volts := []float64{im * between(1.1, 10)}, []float64{}
		for range r.IntN(5) {
			amperes = append(amperes, amperes[len(amperes)-1]*between(1.2, 10))
		}
		for v := im * (mv.Ohms() + ringSwamp) / (1 - im/amperes[0]); len(volts) < 1+r.IntN(4); volts = append(volts, v) {
			v *= between(1.05, 20)
		}
		tap := r.IntN(len(amperes))
		taps := ranges(quantity.Ampere, amperes...)
		m, err := multimeter(t, mv, taps, ranges(quantity.Volt, volts...), taps[tap].Name, ringSwamp)
		if err != nil {
			t.Fatal(err)
		}
		ohms := targets(t, m)
		for i, e := range m.Predict(ohms).Ranges {
			if !(math.Abs(e.ErrorPercent) < 1e-9) {
				t.Errorf("%s on target is off by %v %%", m.Ranges()[i].Name, e.ErrorPercent)
			}
		}
		for i := range ohms {
			ohms[i] *= between(0.8, 1.25)
		}
		p := m.Predict(ohms)
		for k := range volts {
			var net nodal.Netlist
			node := func(tap int) string { return "tap " + strconv.Itoa(tap) }
			coil := net.Resistor(node(0), "swamps", mv.CoilOhms)
			net.Resistor("swamps", nodal.Ground, mv.SwampOhms+ringSwamp)
			for i, section := range ohms[len(volts):] {
				to := node(i + 1)
				if i == len(amperes)-1 {
					to = nodal.Ground
				}
				net.Resistor(node(i), to, section)
			}
			chain := 0.0
			for _, x := range ohms[:k+1] {
				chain += x
			}
			net.Resistor("terminal", node(tap), chain)
			feed := net.VoltSource("terminal", nodal.Ground, volts[k])
			s, err := net.Solve()
			if err != nil {
				t.Fatal(err)
			}
			if want := 100 * (s.Through(coil)/im - 1); math.Abs(p.Ranges[k].ErrorPercent-want) > 1e-9*(100+math.Abs(want)) {
				t.Errorf("%s through %s: %v %%, nodal %v", m.Ranges()[k].Name, taps[tap].Name, p.Ranges[k].ErrorPercent, want)
			}
			if want := -volts[k] / s.Through(feed); math.Abs(p.Ranges[k].InputOhms/want-1) > 1e-9 {
				t.Errorf("%s through %s: %v ohm between the terminals, nodal %v", m.Ranges()[k].Name, taps[tap].Name, p.Ranges[k].InputOhms, want)
			}
		}
	}
}

func TestWithRingRefuses(t *testing.T) {
	taps, volts := ranges(quantity.Ampere, 1e-3, 10e-3), ranges(quantity.Volt, 0.5, 10)
	for tap, want := range map[string]string{
		"1 A":            `"1 A" is not one range of a ring; name the one that is fed: "0.001 A", "0.01 A"`,
		"10 V":           `"10 V" is not one range of a ring`,
		"0.001 A,0.01 A": `"0.001 A,0.01 A" is not one range of a ring`,
	} {
		_, err := multimeter(t, meter.NewMovement(50e-6, 2000), taps, volts, tap, 0)
		var refused *meter.NoRing
		if !errors.As(err, &refused) || refused.Circuit != 0 || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %s", tap, err, want)
		}
	}
	if _, err := meter.NewCircuit("shunt", meter.Spec{Ranges: taps[:1], WithRing: "1 A"}); err == nil {
		t.Error("a shunt feeds a ring")
	}
	m, err := multimeter(t, meter.NewMovement(50e-6, 2000), taps, ranges(quantity.Volt, 0.05), "0.01 A", 0)
	if err != nil {
		t.Fatal(err)
	}
	var refused *meter.CannotServe
	if _, err := m.Targets(); !errors.As(err, &refused) || refused.Range != "0.05 V" {
		t.Errorf("less than the ring drops: %v", err)
	}
	m, _ = multimeter(t, meter.NewMovement(5e-3, 2000), taps, volts, "0.01 A", 0)
	if _, err := m.Targets(); !errors.As(err, &refused) || refused.Range != "0.001 A" {
		t.Errorf("a ring that the movement cannot serve: %v", err)
	}
}
