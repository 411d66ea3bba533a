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

// What +5 % on one section does to every range, in points of full scale: teaching multimeter and textbook chain of the circuits of the
// trade, computed there with exact rationals and printed to four decimals.
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

// Three common causes of −0.4975 % on all ring ranges, and how the voltage ranges tell them apart.
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

// n = 1 + Rm/Rs: the reading moves by (n − 1)/n per cent for a per cent of the shunt, and by as much the other way for the coil, so a
// common scale error of both cancels; a ring's reading moves by 1/T − 1/L per ohm within the tap and −1/L outside (published formulas
// of the project's reference list, section 4.1).
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

// A chain is trimmed from the smallest range up and nothing is disturbed; a ring from the largest down, each step moving the finished
// ranges all by the same proportion.
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

// The swamping resistor that just keeps a range within its class, found by bisection, against the formula for a coil that is
// driven by a voltage, which a shunt of a range far above the movement's current is: −αΔT/(1 + k + αΔT).
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

// A limit of either sign opens the error into a band, whose ends are the errors with every resistance at its worst limit.
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
}

// An open position takes its ranges out of the answer and no others; what a chain's other sections carry is known without it.
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

// Stress at full scale, of the circuits of the trade: their tables of dissipation, printed to full precision there.
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

func TestOhmsPerVolt(t *testing.T) {
	m := build(t, meter.NewMovement(200e-6, 100), "multiplier", nil, quantity.Volt, 50)
	if got := m.Predict(targets(t, m)).Ranges[0].OhmsPerVolt; math.Abs(got-5000) > 1e-9 { // KALS 4.1
		t.Errorf("%v ohm per volt", got)
	}
	if got := m.Predict([]float64{math.NaN()}).Ranges[0].OhmsPerVolt; !math.IsNaN(got) {
		t.Errorf("an open range has %v ohm per volt", got)
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
		{build(t, mv, "external-shunt", map[string]float64{"drop": 0.1}, quantity.Ampere, 1), `"series 1 A" would have to be`},
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
