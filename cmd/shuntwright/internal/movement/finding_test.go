package movement

import (
	"math"
	"strings"
	"testing"

	"shuntwright/inventory"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
)

// Each limit by hand, with GUM 5.1.2 and rectangular limits: drop, 98.6 mV ±
// (0.5 % + 0.1 mV) at 1.000 mA ± (1 % + 1 µA), four sources of 0.493, 0.1,
// 0.986 and 0.0986 ohm; half deflection behind a very high resistor, where a
// reading that is off by δ of full scale at full scale and at half counts 2δ
// and 4δ of the coil (for S ≫ R the coil is R·(a − b)/b).
func TestLimitsByHand(t *testing.T) {
	volts := budget.Input{Name: "volts", Value: 98.6e-3, GainPercent: 0.5, Floor: 0.1e-3}
	amperes := budget.Input{Name: "amperes", Value: 1e-3, GainPercent: 1, Floor: 1e-6}
	f, err := Drop(volts, amperes, Pointer{Marks: 50, Reads: []float64{50}, Limit: 0.2})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "drop", f.Coil.Limit.Limit, 1.96*math.Sqrt((0.493*0.493+0.1*0.1+0.986*0.986+0.0986*0.0986)/3), 1e-9)
	near(t, "drop, full scale", f.FullScale.Limit.Limit, 1e-3*1.96*math.Sqrt((0.01*0.01+0.001*0.001+0.004*0.004)/3), 1e-9)

	f, err = Half(exactly(1e9), exactly(100), Pointer{Marks: 50, Reads: []float64{50, 25}, Limit: 0.2}, exactly(math.NaN()))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "half", f.Coil.Limit.Limit, 100*0.004*1.96*math.Sqrt((4*4+2*2)/3.), 1e-6)
	if name, share := f.Coil.mostly(); name != pointer || share < 0.999 {
		t.Errorf("most of it comes from %q, %g", name, share)
	}
	if f.FullScale.Known() {
		t.Error("full scale without a battery")
	}
}

// A gain error that both resistors share goes into the coil as it is, in both
// methods: the coil grows with them.
func TestSharedGainGoesThrough(t *testing.T) {
	by := inventory.Measured{GainPercent: 0.7, Shared: "bridge"}
	resistor := func(ohms float64) budget.Input { m := by; m.Ohms = ohms; return Resistor(m) }
	p := Pointer{Marks: math.NaN(), Reads: []float64{50, 25}}
	half, err1 := Half(resistor(1400), resistor(92), p, exactly(math.NaN()))
	compare, err2 := Compare([2]budget.Input{resistor(1400), resistor(2900)}, p, exactly(1.5))
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	for name, f := range map[string]Finding{"half": half, "compare": compare} {
		gain, floor := f.Coil.Parts("bridge")
		near(t, name, gain, 0.7, 1e-9)
		if floor != 0 || f.FullScale.Known() {
			t.Errorf("%s: floor %g, full scale %v", name, floor, f.FullScale.Value)
		}
	}
}

// What goes into a meter file makes the coil as unsure as it was found.
func TestPartsKeepTheUncertainty(t *testing.T) {
	m := inventory.Measured{GainPercent: 0.8, FloorOhms: 0.3, Shared: "hand meter"}
	series, shunt := m, m
	series.Ohms, shunt.Ohms = 1402, 92.1
	volts := budget.Input{Name: "battery", Value: 1.502, GainPercent: 0.5, Floor: 0.001}
	f, err := Half(Resistor(series), Resistor(shunt), Pointer{Marks: 50, Reads: []float64{50, 25}, Limit: 0.2}, volts)
	if err != nil {
		t.Fatal(err)
	}
	gain, floor := f.Coil.Parts("hand meter")
	near(t, "gain", gain, 0.8, 1e-9)
	again := budget.Combine(budget.Sources([]budget.Input{{Name: "coil", Value: f.Coil.Value, Slope: 1, GainPercent: gain, Floor: floor}}))
	near(t, "standard uncertainty", again.Standard, f.Coil.Limit.Standard, 1e-9)
	near(t, "full scale", f.FullScale.Value, 1.502/(1402+f.Coil.Value), 1e-12)
}

// The words: the short cut is low by R/S, the resistor to start from is twice
// what full scale takes (1.5 V, 1 mA: 3 kΩ, a sheet "D-C Meter Formulas"), and
// the pointer ohmmeter's figure is that of Bell's example 3-16 where there is
// no coil: 62.5 mA.
func TestWords(t *testing.T) {
	f, err := Half(exactly(1400), exactly(1400./15), Pointer{Marks: 50, Reads: []float64{50, 25}}, exactly(1.5))
	if err != nil {
		t.Fatal(err)
	}
	battery := quantity.Value{Text: "1.5 V", Base: 1.5}
	doc := f.Document(battery, nil, "")
	found := doc.Answer.(*answer)
	near(t, "short cut", *found.ShortcutErrorPercent, -100./15, 1e-9)
	near(t, "start", *found.StartSeriesOhms, 3000, 1e-9)
	near(t, "full scale takes", *found.FullScaleSeriesOhms, 1400, 1e-9)
	near(t, "straight", *found.StraightTimesFullScale, 15, 1e-9)
	near(t, "ohmmeter", *found.OhmmeterAmperes, 1.5/124, 1e-9)
	all := strings.Join(append(append([]string{doc.Heading, doc.Notes.Cautions[0].Text}, doc.BottomLine...), doc.Closing...), "\n")
	for _, want := range []string{"full scale 1.000 mA, coil 100.0 Ω", "would give 93.33 Ω: 6.7 % low", "start from 3.0 kΩ", "would flow 15 mA, 15 × full scale",
		"drives 12 mA (12 × full scale) through this one, a digital one up to 1 mA (1.0 × full scale)"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in\n%s", want, all)
		}
	}
	found = Finding{Coil: Exactly(math.NaN()), FullScale: Exactly(1e-3), Shortcut: math.NaN()}.Document(battery, nil, "").Answer.(*answer)
	near(t, "ohmmeter, no coil known", *found.OhmmeterAmperes, 0.0625, 1e-9)
	if found.CoilOhms != nil || found.FullScaleSeriesOhms != nil || found.StraightAmperes != nil {
		t.Errorf("%+v", found)
	}
	unsure, err := Compare([2]budget.Input{exactly(1400), exactly(2900)}, Pointer{Marks: 50, Reads: []float64{50, 25}, Limit: 0.2}, exactly(1.5))
	if doc := unsure.Document(quantity.Value{}, nil, ""); err != nil || !strings.Contains(strings.Join(doc.Closing, ""), "movement half does") {
		t.Errorf("%v: %q", err, doc.Closing)
	}
}
