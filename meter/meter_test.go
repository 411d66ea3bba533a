package meter_test

import (
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/quantity"
)

// trade reads a circuit of the trade with measured resistances fitted.
func trade(t *testing.T, name string) (*meter.Meter, []float64) {
	t.Helper()
	data, err := os.ReadFile("../testdata/circuits/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	f, err := meterfile.Parse(name, data)
	if err != nil {
		t.Fatal(err)
	}
	var ohms []float64
	for _, fit := range f.Fitted {
		ohms = append(ohms, fit.Network.Ohms.Base)
	}
	return f.Meter, ohms
}

func find(t *testing.T, m *meter.Meter, position string) int {
	t.Helper()
	i, ok := m.FindPosition(position)
	if !ok {
		t.Fatalf("no position %q", position)
	}
	return i
}

// An open position takes its ranges out of the answer and no others; what a
// chain's other sections carry is known without it.
func TestPredictOpenPositions(t *testing.T) {
	m, ohms := trade(t, "teaching-multimeter")
	ohms[find(t, m, "chain 250 V")] = math.NaN()
	p := m.Predict(ohms)
	for r, rng := range m.Ranges() {
		open := rng.Name == "250 V" || rng.Name == "1000 V"
		if p.Ranges[r].Whole() == open || math.IsNaN(p.Ranges[r].InputOhms) != open || math.IsNaN(p.Ranges[r].LastMark) != open {
			t.Errorf("%s: %+v", rng.Name, p.Ranges[r])
		}
	}
	if math.Abs(p.WorstPercent-0.4975124378109453) > 1e-12 {
		t.Errorf("worst %v", p.WorstPercent)
	}
	for name, known := range map[string]bool{"chain 50 V": true, "chain 250 V": false, "chain 1000 V": false, "ring 10 mA": true} {
		got := p.Positions[find(t, m, name)]
		if math.IsNaN(got.Watts) == known || math.IsNaN(got.Volts) == known || math.IsNaN(got.TargetOhms) {
			t.Errorf("%s: %+v", name, got)
		}
	}
	all := m.Predict(make([]float64, len(ohms))) // every position a short: no panic, nothing claimed
	if len(all.Ranges) != len(p.Ranges) {
		t.Error("ranges are missing")
	}
	for i := range ohms {
		ohms[i] = math.NaN()
	}
	if none := m.Predict(ohms); !math.IsNaN(none.WorstPercent) {
		t.Errorf("nothing is whole, worst %v", none.WorstPercent)
	}
}

// Stress at full scale, of the circuits of the trade: their tables of
// dissipation, printed to full precision there.
func TestStress(t *testing.T) {
	m, ohms := trade(t, "teaching-multimeter")
	p := m.Predict(ohms)
	want := map[string]float64{"ring 10 mA": 0.0022276676319893073, "ring 100 mA": 0.019980104452860078, "ring 500 mA": 0.11872636933491745,
		"ring 10 A": 2.499975124439989, "chain 1000 V": 0.0375}
	for name, watts := range want {
		exactly(t, name, p.Positions[find(t, m, name)].Watts, watts)
	}
	exactly(t, "15 M", p.Positions[find(t, m, "chain 1000 V")].Volts, 750)
	stress, err := build(t, meter.NewMovement(1e-3, 500), "shunt", nil, quantity.Ampere, 10).Stresses()
	if err != nil || math.Abs(stress[0].Amperes*stress[0].Volts-4.9995) > 1e-12 { // LIEC, the shunt's watts: 4.9995
		t.Errorf("%+v, %v", stress, err)
	}
	if _, err := build(t, meter.NewMovement(1e-3, 500), "shunt", nil, quantity.Ampere, 1e-3).Stresses(); err == nil {
		t.Error("a range without a target has a stress")
	}
}

// What stays across a resistor whatever it is: the volts of its range, less what
// others take (Ohm's law).
func TestVoltageStaysAcross(t *testing.T) {
	mv := meter.NewMovement(1e-3, 100)
	for kind, want := range map[string]meter.Stress{"shunt": {}, "ring": {}, "multiplier": {Held: true, Alone: true}, "chain": {Held: true}} {
		unit, full := quantity.Volt, []float64{10, 100}
		if !want.Held {
			unit, full = quantity.Ampere, []float64{0.01, 0.1}
		}
		if kind == "shunt" || kind == "multiplier" {
			full = full[:1]
		}
		stresses, err := build(t, mv, kind, nil, unit, full...).Stresses()
		if got := stresses[len(stresses)-1]; err != nil || got.Held != want.Held || got.Held && got.Alone != want.Alone {
			t.Errorf("%s: %+v, %v", kind, got, err)
		}
	}
}

func TestOhmsPerVolt(t *testing.T) {
	m := build(t, meter.NewMovement(200e-6, 100), "multiplier", nil, quantity.Volt, 50)
	if got := m.Predict(targets(t, m)).Ranges[0].OhmsPerVolt; math.Abs(got-5000) > 1e-9 { // KALS 4.1
		t.Errorf("%v ohm per volt", got)
	}
	if got := m.Predict([]float64{math.NaN()}).Ranges[0].OhmsPerVolt; !math.IsNaN(got) {
		t.Errorf("an open range has %v ohm per volt", got)
	}
	for volts, ohms := range map[float64][2]float64{100: {25e3, 260}, 1000: {150e3, 151}} { // BAKS Ex 3.13 p 3.52: 1 kΩ of movement
		m := build(t, meter.NewMovement(1e-3, 1e3), "multiplier", nil, quantity.Volt, volts)
		exactly(t, "ohms per volt", m.Predict(ohms[:1]).Ranges[0].OhmsPerVolt, ohms[1])
	}
	m = build(t, meter.NewMovement(50e-6, 400), "multiplier", nil, quantity.Volt, 10) // ELIM Ex 3.9.2 p 3-19: 10 V on 200 kΩ + 400 Ω
	exactly(t, "current", m.Predict([]float64{200e3}).Ranges[0].MovementAmperes, 4.99001996007984e-05)
}

// Watts of the shunts of "Ammeter design" (Lessons in Electric Circuits, DC,
// ch. 8; printed 49.5 mW, 0.5, 5, 50 W).
func TestPublishedShuntPower(t *testing.T) {
	for amperes, watts := range map[float64]float64{0.1: 0.0495, 1: 0.4995, 10: 4.9995, 100: 49.9995} {
		m := build(t, meter.NewMovement(1e-3, 500), "shunt", nil, quantity.Ampere, amperes)
		exactly(t, "watts", m.Predict(targets(t, m)).Positions[0].Watts, watts)
	}
}

func TestCannotServe(t *testing.T) {
	mv := meter.NewMovement(1e-3, 100)
	tests := []struct {
		m    *meter.Meter
		want string
	}{
		{build(t, mv, "shunt", nil, quantity.Ampere, 1e-3), `range "0.001 A": the movement alone takes 1.000 mA`},
		{build(t, mv, "shunt", map[string]float64{"contact": 12}, quantity.Ampere, 10e-3), "contact resistance alone is more"},
		{build(t, mv, "multiplier", nil, quantity.Volt, 0.1), `"multiplier 0.1 V" would have to be 0 ohm`},
		{build(t, mv, "multiplier", nil, quantity.Volt, 0.05), `"multiplier 0.05 V" would have to be -50 ohm`},
		{build(t, mv, "ring", nil, quantity.Ampere, 1e-3, 1), `range "0.001 A": the movement alone takes`},
		{build(t, mv, "ring", nil, quantity.Ampere, 1, 0.1), `range "0.1 A": it stands after "1 A" and is not larger`},
		{build(t, mv, "chain", nil, quantity.Volt, 0.1, 1), `"chain 0.1 V" would have to be 0 ohm`},
		{build(t, mv, "chain", nil, quantity.Volt, 10, 1), `range "1 V": it stands after "10 V" and is not larger`},
		{build(t, mv, "external-shunt", map[string]float64{"shunt": 1e-3}, quantity.Ampere, 1), `"series 1 A" would have to be`},
		// Ohm's law: 500 µA · 210 Ω = 105 mV is 249.5 mA · 420.84 mΩ, and 0.3 Ω · (350.5 mA - 500 µA).
		{build(t, meter.NewMovement(500e-6, 210), "external-shunt", map[string]float64{"shunt": 0.3}, quantity.Ampere, 0.25), "more than 420.9 mΩ would do, or a range of more than 350.5 mA"},
		{build(t, mv, "external-shunt", map[string]float64{"drop": 0.09}, quantity.Ampere, 1), "; a drop of more than 100.0 mV would do"},
		{build(t, mv, "external-shunt", map[string]float64{"series": 1}, quantity.Ampere, 1e-3), `the movement alone takes`},
	}
	for _, test := range tests {
		got, err := test.m.Targets()
		var cannot *meter.CannotServe
		if got != nil || !errors.As(err, &cannot) || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%v, %v, want %q", got, err, test.want)
		}
		ohms := make([]float64, len(test.m.Positions()))
		for i := range ohms {
			ohms[i] = 1
		}
		for i, p := range test.m.Predict(ohms).Positions {
			if !math.IsNaN(p.TargetOhms) || !math.IsNaN(p.ErrorPercent) || math.IsNaN(p.Watts) {
				t.Errorf("%s: %+v", test.m.Positions()[i].Name, p)
			}
		}
	}
}

// One circuit that cannot be served leaves the targets of the others known.
func TestPredictBesideTheImpossible(t *testing.T) {
	var circuits []meter.Circuit
	for _, full := range []float64{1e-4, 10e-3} {
		r := meter.Range{Name: map[bool]string{true: "small", false: "large"}[full < 1e-3], FullScale: full, Unit: quantity.Ampere, CircuitVolts: math.NaN()}
		c, err := meter.NewCircuit("shunt", meter.Spec{Ranges: []meter.Range{r}})
		if err != nil {
			t.Fatal(err)
		}
		circuits = append(circuits, c)
	}
	m, err := meter.New("two", meter.NewMovement(1e-3, 100), math.NaN(), circuits)
	if err != nil {
		t.Fatal(err)
	}
	p := m.Predict([]float64{10, 10}).Positions
	if !math.IsNaN(p[0].TargetOhms) || math.Abs(p[1].TargetOhms-100.0/9) > 1e-13 {
		t.Errorf("%+v", p)
	}
}

func TestNewRefuses(t *testing.T) {
	direct := func(name string) meter.Circuit {
		c, err := meter.NewCircuit("direct", meter.Spec{Ranges: []meter.Range{{Name: name, FullScale: 1e-3, Unit: quantity.Ampere}}})
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	good := meter.NewMovement(1e-3, 100)
	bad := func(change func(*meter.Movement)) meter.Movement {
		mv := good
		change(&mv)
		return mv
	}
	tests := []struct {
		mv       meter.Movement
		circuits []meter.Circuit
		want     string
	}{
		{good, nil, "has no circuits"},
		{good, []meter.Circuit{direct("1 mA"), direct("1mA")}, `range "1mA" stands twice`},
		{bad(func(mv *meter.Movement) { mv.FullScaleAmperes = 0 }), nil, "full-scale current 0 A"},
		{bad(func(mv *meter.Movement) { mv.CoilOhms = math.Inf(1) }), nil, "coil +Inf ohm"},
		{bad(func(mv *meter.Movement) { mv.SwampOhms = math.NaN() }), nil, "swamping resistor NaN ohm"},
		{bad(func(mv *meter.Movement) { mv.ReferenceCelsius = math.NaN() }), nil, "reference temperature NaN"},
	}
	for _, test := range tests {
		if _, err := meter.New("m", test.mv, math.NaN(), test.circuits); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%v, want %q", err, test.want)
		}
	}
	amperes := meter.Range{Name: "1 A", FullScale: 1, Unit: quantity.Ampere}
	refused := []struct {
		kind string
		spec meter.Spec
		want string
	}{
		{"loop", meter.Spec{Ranges: []meter.Range{amperes}}, `circuit "loop" is not known`},
		{"shunt", meter.Spec{}, "with 0 ranges; it takes exactly one"},
		{"shunt", meter.Spec{Ranges: []meter.Range{amperes, amperes}}, "with 2 ranges"},
		{"ring", meter.Spec{}, "it takes one or more"},
		{"chain", meter.Spec{Ranges: []meter.Range{amperes}}, `range "1 A" is in A; a chain range is in V`},
		{"shunt", meter.Spec{Ranges: []meter.Range{amperes}, Given: map[string]float64{"swamp": 1}}, `circuit "shunt" takes no "swamp"`},
		{"external-shunt", meter.Spec{Ranges: []meter.Range{amperes}}, "exactly one of shunt, series and drop"},
	}
	for _, test := range refused {
		if _, err := meter.NewCircuit(test.kind, test.spec); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v, want %q", test.kind, err, test.want)
		}
	}
}

func TestRangeNames(t *testing.T) {
	tests := []struct {
		text string
		full float64
		unit quantity.Unit
	}{{" grid 50 mA ", 50e-3, quantity.Ampere}, {"50mA", 50e-3, quantity.Ampere}, {"plate volts 5 kV", 5e3, quantity.Volt}, {"50 µA", 50e-6, quantity.Ampere},
		{"tap 2 10 A", 10, quantity.Ampere}, {"17.5mV", 17.5e-3, quantity.Volt}}
	for _, test := range tests {
		r, err := meter.ParseRange(test.text, 300)
		if err != nil || r.FullScale != test.full || r.Unit != test.unit || r.Name != strings.TrimSpace(test.text) || r.CircuitVolts != 300 {
			t.Errorf("%q: %+v, %v", test.text, r, err)
		}
	}
	for _, text := range []string{"", " ", "50", "grid", "0 A", "50 ohm", "mA"} {
		if r, err := meter.ParseRange(text, math.NaN()); err == nil {
			t.Errorf("%q: %+v", text, r)
		}
	}
	for text, want := range map[string]string{"AC 10 V": "a.c.", "10 V ac": "a.c.", "a.c. 10 V": "a.c.", "10 V~": "a.c.", "~10V": "a.c.", "10 VAC": "a.c.", "5 mAac": "a.c.", "10 V A.C": "a.c.", "vac 10 V": "a.c.", "VAC 1.5 kV": "a.c.",
		"1 kohm": "resistance", "R x 10 Ω": "resistance", "1 k\u2126": "resistance", "2 MOHM": "resistance"} {
		if _, err := meter.ParseRange(text, math.NaN()); err == nil || !strings.Contains(err.Error(), "is an "+want+" range") && !strings.Contains(err.Error(), "is a "+want+" range") {
			t.Errorf("%q: %v, want a refusal of %s ranges", text, err, want)
		}
	}
	for _, text := range []string{"vac 10 mA", "macro 10 V", "accumulator 10 V", "cathode ac1 10 V"} { // words that only look like it
		if _, err := meter.ParseRange(text, math.NaN()); err != nil {
			t.Errorf("%q: %v", text, err)
		}
	}
	same := [][2]string{{"shunt grid 50 mA", "shunt grid 50mA"}, {"50 µA", "50 μA"}, {"50 uA", "50µA"}, {"grid  50 mA", "grid 50 mA"}}
	for _, pair := range same {
		if !meter.SameName(pair[0], pair[1]) {
			t.Errorf("%q and %q differ", pair[0], pair[1])
		}
	}
	for _, pair := range [][2]string{{"50 mA", "50 MA"}, {"grid 50 mA", "grid50 mA"}, {"5 0 mA", "50 mA"}, {"", "a"}} {
		if meter.SameName(pair[0], pair[1]) {
			t.Errorf("%q and %q are the same", pair[0], pair[1])
		}
	}
}

// A state of the wrong length is the caller's mistake and stops at once.
func TestStateOfWrongLength(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("three resistances for one position were taken")
		}
	}()
	build(t, meter.NewMovement(1e-3, 100), "shunt", nil, quantity.Ampere, 1).State([]float64{1, 2, 3})
}
