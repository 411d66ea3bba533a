package meter_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// What +5 % on one section does to every range, in points of full scale:
// teaching multimeter and textbook chain of the circuits of the trade, computed
// there with exact rationals and printed to four decimals.
func TestFivePercentTables(t *testing.T) {
	tests := []struct {
		circuit, position string
		ranges            []string
		want              []float64
	}{
		{"teaching-multimeter", "ring 10 mA", []string{"10 mA", "100 mA", "500 mA", "10 A"}, []float64{4.4543, -0.0223, -0.0223, -0.0223}},
		{"teaching-multimeter", "ring 100 mA", []string{"10 mA", "100 mA", "500 mA", "10 A"}, []float64{0.3960, 3.9780, -0.0020, -0.0020}},
		{"teaching-multimeter", "ring 500 mA", []string{"10 mA", "100 mA", "500 mA", "10 A"}, []float64{0.0941, 0.9448, 4.7259, -0.0005}},
		{"teaching-multimeter", "ring 10 A", []string{"10 mA", "100 mA", "500 mA", "10 A"}, []float64{0.0050, 0.0497, 0.2487, 4.9751}},
		{"teaching-multimeter", "chain 2.5 V", []string{"2.5 V", "10 V", "50 V", "250 V", "1000 V"}, []float64{-4.5802, -1.1858, -0.2394, -0.0480, -0.0120}},
		{"teaching-multimeter", "chain 10 V", []string{"2.5 V", "10 V", "50 V", "250 V", "1000 V"}, []float64{0, -3.6145, -0.7444, -0.1498, -0.0375}},
		{"teaching-multimeter", "chain 1000 V", []string{"2.5 V", "10 V", "50 V", "250 V", "1000 V"}, []float64{0, 0, 0, 0, -3.6145}},
		{"textbook-chain", "chain 1 V", []string{"1 V", "10 V", "100 V", "1000 V"}, []float64{-2.4390, -0.2494, -0.0250, -0.0025}},
		{"textbook-chain", "chain 100 V", []string{"1 V", "10 V", "100 V", "1000 V"}, []float64{0, 0, -4.3062, -0.4480}},
	}
	for _, test := range tests {
		m, ohms := trade(t, test.circuit)
		before := errorsOf(m, m.State(ohms))
		ohms[find(t, m, test.position)] *= 1.05
		after := errorsOf(m, m.State(ohms))
		for i, name := range test.ranges {
			r, _ := m.FindRange(name)
			if got := after[r] - before[r]; math.Abs(got-test.want[i]) > 5.01e-5 {
				t.Errorf("%s: +5 %% on %s moves %s by %.4f, want %.4f", test.circuit, test.position, name, got, test.want[i])
			}
		}
	}
}

// Three common causes of −0.4975 % on all ring ranges, and how the voltage
// ranges tell them apart.
func TestCommonCauses(t *testing.T) {
	m, ohms := trade(t, "teaching-multimeter")
	st := m.State(ohms)
	swamp := -1
	for i, r := range m.Resistors() {
		if r.Name == "swamp of ring 10 mA" {
			swamp = i
		}
	}
	good := st.With(swamp, 2975)
	weak := good
	weak.FullScaleAmperes = 50.25e-6
	tests := map[string]struct {
		st       meter.State
		volt     float64
		volt1000 float64
	}{"swamp": {st, 0, 0}, "coil": {good.With(0, 2025), -0.049975, -0.000125}, "movement": {weak, -0.497512, -0.497512}}
	for cause, test := range tests {
		e := errorsOf(m, test.st)
		for r, rng := range m.Ranges() {
			want := -0.497512
			switch rng.Name {
			case "2.5 V":
				want = test.volt
			case "1000 V":
				want = test.volt1000
			case "10 V", "50 V", "250 V":
				continue
			}
			if math.Abs(e[r]-want) > 5.1e-7 {
				t.Errorf("%s: %s %v %%, want %v", cause, rng.Name, e[r], want)
			}
		}
	}
}

// n = 1 + Rm/Rs: the reading moves by (n − 1)/n per cent for a per cent of the
// shunt, and by as much the other way for the coil, so a common scale error of
// both cancels; a ring's reading moves by 1/T − 1/L per ohm within the tap and
// −1/L outside (published formulas of the project's reference list, section
// 4.1).
func TestSensitivityIdentities(t *testing.T) {
	m := build(t, meter.NewMovement(1e-3, 100), "shunt", nil, quantity.Ampere, 10e-3)
	s := m.Sensitivities(m.State([]float64{12.5}))[0]
	n := 1 + 100/12.5
	exactly(t, "shunt", s[2].PerPercent, (n-1)/n)
	exactly(t, "coil", s[0].PerPercent, -(n-1)/n)

	m, ohms := trade(t, "universal-shunt-exercise")
	s10 := m.Sensitivities(m.State(ohms))[1] // 10 mA: tap 10, loop 100 ohm
	for name, want := range map[string]float64{"ring 2 mA": -1, "ring 10 mA": 9, "ring 100 mA": 9} {
		exactly(t, name, s10[m.Positions()[find(t, m, name)].Resistor].PerOhm, want)
	}
	exactly(t, "coil", s10[0].PerOhm, -1)
}

// A chain is trimmed from the smallest range up and nothing is disturbed; a
// ring from the largest down, each step moving the finished ranges all by the
// same proportion.
func TestTrimOrder(t *testing.T) {
	m, ohms := trade(t, "teaching-multimeter")
	st := m.State(ohms)
	var names []string
	for _, step := range m.TrimOrder(0, st) {
		names = append(names, m.Positions()[step.Position].Name+" on "+m.Ranges()[step.Range].Name)
		if step.Disturbs != 0 {
			t.Errorf("%s disturbs by %v", m.Positions()[step.Position].Name, step.Disturbs)
		}
	}
	if got := strings.Join(names, ", "); got != "chain 2.5 V on 2.5 V, chain 10 V on 10 V, chain 50 V on 50 V, chain 250 V on 250 V, chain 1000 V on 1000 V" {
		t.Error(got)
	}
	names = nil
	finished := []int{}
	for _, step := range m.TrimOrder(1, st) {
		names = append(names, m.Positions()[step.Position].Name)
		if len(finished) > 0 && !(step.Disturbs > 0 && step.Disturbs < 0.005) {
			t.Errorf("%s disturbs by %v", names[len(names)-1], step.Disturbs)
		}
		k := m.Positions()[step.Position].Resistor
		before, after := errorsOf(m, st), errorsOf(m, st.With(k, 1.5*st.Ohms[k]))
		for _, r := range finished {
			first := finished[0]
			if a, b := (100+after[r])/(100+before[r]), (100+after[first])/(100+before[first]); math.Abs(a/b-1) > 1e-12 {
				t.Errorf("trimming %s moves finished ranges by %v and %v", names[len(names)-1], a, b)
			}
		}
		finished = append(finished, step.Range)
	}
	if got := strings.Join(names, ", "); got != "ring 10 A, ring 500 mA, ring 100 mA, ring 10 mA" {
		t.Error(got)
	}
}

// The swamping resistor that just keeps a range within its class, found by
// bisection, against the formula for a coil that is driven by a voltage, which
// a shunt of a range far above the movement's current is: −αΔT/(1 + k + αΔT).
func TestSwampWithin(t *testing.T) {
	m := build(t, meter.NewMovement(1e-3, 100), "shunt", nil, quantity.Ampere, 1e4)
	got, err := m.SwampWithin(0, 0.5, 30, m.Tempcos())
	if want := 100 * (0.0393/0.005 - 1 - 0.0393); err != nil || math.Abs(got-want) > 1e-4 {
		t.Errorf("%v ohm, want %v (%v)", got, want, err)
	}
	m.Movement.SwampOhms = got
	within := m.AtTemperatureBands(m.State(targets(t, m)), 30, m.Tempcos())[0]
	m.Movement.SwampOhms = got * (1 - 1e-6)
	outside := m.AtTemperatureBands(m.State(targets(t, m)), 30, m.Tempcos())[0]
	if within.LowPercent < -0.5 || outside.LowPercent > -0.5 {
		t.Errorf("with it %v, with a little less %v", within, outside)
	}
	if got, err := m.SwampWithin(0, 5, 30, m.Tempcos()); got != 0 || err != nil {
		t.Errorf("a range that is within needs %v (%v)", got, err)
	}
	m = build(t, meter.NewMovement(1e-3, 100), "multiplier", nil, quantity.Volt, 0.2)
	var cannot *meter.CannotServe
	if got, err := m.SwampWithin(0, 0.5, 30, m.Tempcos()); !errors.As(err, &cannot) || !math.IsNaN(got) {
		t.Errorf("a multiplier's swamp: %v, %v", got, err)
	}
}

// A limit of either sign opens the error into a band, whose ends are the errors
// with every resistance at its worst limit.
func TestTemperatureBand(t *testing.T) {
	m := build(t, meter.NewMovement(1e-3, 100), "shunt", nil, quantity.Ampere, 10e-3)
	ohms := targets(t, m)
	tempcos := m.Tempcos()
	tempcos[2].LimitPPM = 100
	for _, celsius := range []float64{0, 45} {
		b := m.AtTemperatureBands(m.State(ohms), celsius, tempcos)[0]
		coil := m.AtTemperature(m.State(ohms), celsius, tempcos)
		low, high := coil.With(2, ohms[0]*(1-100e-6*math.Abs(celsius-20))), coil.With(2, ohms[0]*(1+100e-6*math.Abs(celsius-20)))
		if b.ErrorPercent != errorsOf(m, coil)[0] || b.LowPercent != errorsOf(m, low)[0] || b.HighPercent != errorsOf(m, high)[0] || !(b.LowPercent < b.HighPercent) {
			t.Errorf("at %v °C: %+v", celsius, b)
		}
	}
	m = build(t, meter.NewMovement(1e-3, 100), "multiplier", nil, quantity.Volt, 1)
	tempcos = m.Tempcos()
	tempcos[2].LimitPPM = 100
	if b := m.AtTemperatureBands(m.State([]float64{900}), 30, tempcos)[0]; !(b.LowPercent < b.ErrorPercent && b.ErrorPercent < b.HighPercent) {
		t.Errorf("multiplier: %+v", b)
	}
}

// A shunt in the lead gives so many millivolts, and what the movement does not
// take of them is all that a swamping resistor may take, on every range of the
// meter: 0.42 ohm at 249 mA leaves 3.28 ohm beside a coil of 101.3 ohm.
func TestSwampWithinWhatTheLeadLeaves(t *testing.T) {
	external, err1 := meter.NewCircuit("external-shunt", meter.Spec{Ranges: ranges(quantity.Ampere, 0.25), Given: map[string]float64{"shunt": 0.42}})
	shunt, err2 := meter.NewCircuit("shunt", meter.Spec{Ranges: ranges(quantity.Ampere, 0.01)})
	m, err3 := meter.New("transmitter", meter.NewMovement(1e-3, 101.3), math.NaN(), []meter.Circuit{shunt, external})
	if err := errors.Join(err1, err2, err3); err != nil {
		t.Fatal(err)
	}
	var cannot *meter.CannotServe
	if _, err := m.SwampWithin(0, 2.5, 45, m.Tempcos()); !errors.As(err, &cannot) || cannot.Range != "0.01 A" || !strings.Contains(cannot.Why, "more than 3.28 Ω leaves nothing on 0.25 A") {
		t.Errorf("%v", err)
	}
	// A little is enough for a little: the search must not jump over what there is.
	got, err := m.SwampWithin(0, 8.1, 45, m.Tempcos())
	if err != nil || !(got > 0 && got < 3.28) {
		t.Errorf("%v ohm, %v", got, err)
	}
}
