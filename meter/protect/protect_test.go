package protect_test

import (
	"math"
	"strings"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/nodal"
	"shuntwright/meter/protect"
)

const bench = `{"movement": {"full_scale": "1 mA", "coil": "100 ohm"}, "circuits": [
	{"circuit": "direct", "range": "1 mA"},
	{"circuit": "shunt", "range": "100 mA", "fitted": "1.0101 ohm"},
	{"circuit": "multiplier", "range": "30 V", "fitted": "29900 ohm"},
	{"circuit": "ring", "ranges": ["10 mA", "1 A"], "fitted": {"10 mA": "11 ohm", "1 A": "0.11111 ohm"}},
	{"circuit": "chain", "ranges": ["3 V", "300 V"], "fitted": {"3 V": "2900 ohm"}},
	{"circuit": "external-shunt", "range": "200 mA", "shunt": "1 ohm", "fitted": "99 ohm"}]}`

func benchMeter(t *testing.T) (*meter.Meter, meter.State) {
	f, err := meterfile.Parse("bench.json", []byte(bench))
	if err != nil {
		t.Fatal(err)
	}
	var ohms []float64
	for _, fit := range f.Fitted {
		if ohms = append(ohms, math.NaN()); fit.Present {
			ohms[len(ohms)-1] = fit.Network.Ohms.Base
		}
	}
	return f.Meter, f.Meter.State(ohms)
}

func clamp(t *testing.T, across protect.Place) protect.Clamp {
	m, err := protect.ParseModel("1N4007")
	if err != nil {
		t.Fatal(err)
	}
	return protect.Clamp{Diode: nodal.Diode{Model: m, InSeries: 1, Celsius: 25}, Across: across}
}

// every lists the faults of all ranges.
func every(t *testing.T, m *meter.Meter, st meter.State, s protect.Source, c protect.Clamp, fitted map[int]protect.Fitted) []protect.Fault {
	t.Helper()
	var all []protect.Fault
	for r := range m.Ranges() {
		found, err := protect.Faults(m, st, r, s, c, fitted)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, found...)
	}
	return all
}

// A series of no ohms is not there, and cannot short.
func TestNothingShorts(t *testing.T) {
	m, st := benchMeter(t)
	for i, r := range m.Resistors() {
		if r.Name == "series 200 mA" {
			st = st.With(i, 0)
		}
	}
	for _, f := range every(t, m, st, protect.Supply(300, 1000), clamp(t, protect.AcrossMovement), nil) {
		if name := m.Resistors()[f.Resistor].Name; name == "series 200 mA" {
			t.Errorf("%s: %+v", name, f)
		}
	}
}

// Which faults are looked at: what lies across the movement opens, what stands
// before it shorts, a ring's section either way by the range; the 300 V range
// is not whole, but shorting the section that is missing makes it so.
func TestFaultsListed(t *testing.T) {
	m, st := benchMeter(t)
	var got []string
	faults := every(t, m, st, protect.Supply(300, 1000), clamp(t, protect.AcrossMovement), nil)
	for _, f := range faults {
		got = append(got, map[bool]string{true: "short ", false: "open "}[f.Short]+m.Resistors()[f.Resistor].Name+" on "+m.Ranges()[f.Range].Name)
		if !(f.WithDiodes < f.MovementAmperes) || f.TimesFullScale != f.MovementAmperes/1e-3 || f.WithDiodesTimes != f.WithDiodes/1e-3 || !(f.DiodeAmperes > 0) {
			t.Errorf("%+v", f)
		}
	}
	want := "open shunt 100 mA on 100 mA; short multiplier 30 V on 30 V; open ring 10 mA on 10 mA; open ring 1 A on 10 mA; short ring 10 mA on 1 A; " +
		"open ring 1 A on 1 A; short chain 3 V on 3 V; short chain 300 V on 300 V; open external shunt 200 mA on 200 mA; short series 200 mA on 200 mA"
	if strings.Join(got, "; ") != want {
		t.Errorf("%s\nwant\n%s", strings.Join(got, "; "), want)
	}
	// The open shunt leaves source and coil: 300 V/1100 ohm.
	if math.Abs(faults[0].MovementAmperes/(300.0/1100)-1) > 1e-12 {
		t.Errorf("open shunt: %v A", faults[0].MovementAmperes)
	}
	if math.Abs(faults[1].MovementAmperes/(300.0/1100)-1) > 1e-12 {
		t.Errorf("shorted multiplier: %v A", faults[1].MovementAmperes)
	}
}

func TestFaultsWithoutDiodes(t *testing.T) {
	m, st := benchMeter(t)
	for _, c := range []protect.Clamp{{}, clamp(t, protect.AcrossShunt)} {
		for _, f := range every(t, m, st, protect.Supply(300, 1000), c, nil) {
			shunted := c.Across == protect.AcrossShunt && len(m.Path(f.Range).Across) > 0
			if math.IsNaN(f.WithDiodes) == shunted || math.IsNaN(f.WithDiodesTimes) == shunted {
				t.Errorf("%+v", f)
			}
		}
	}
}

// Leakage straight across a movement that a current drives, and through shunts:
// the more the range is driven by a current, the more of the leakage it shows.
// 200 µA, 1400 ohm: −0.5871 % at 25.85 mV of thermal voltage (circuits of the
// trade, section H: set A at about 27 °C, one diode, four decimals); the
// reversed diode adds at most IS, 0.0013 %.
func TestLeakage(t *testing.T) {
	f, err := meterfile.Parse("m.json", []byte(`{"movement": {"full_scale": "200 uA", "coil": "1400 ohm"}, "circuits": [
		{"circuit": "direct", "range": "200 uA"}, {"circuit": "shunt", "range": "1 A", "fitted": "0.28005601 ohm"}, {"circuit": "shunt", "range": "2 A"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	model, err := protect.ParseModel("is=2.52e-9, n=1.752, tnom=26.826")
	if err != nil {
		t.Fatal(err)
	}
	st := f.Meter.State([]float64{0.28005601, math.NaN()})
	leaks, err := protect.Leakage(f.Meter, st, protect.Clamp{Diode: nodal.Diode{Model: model, InSeries: 1, Celsius: 26.826}, Across: protect.AcrossMovement})
	if err != nil || len(leaks) != 2 {
		t.Fatalf("%+v, %v", leaks, err)
	}
	if math.Abs(leaks[0].ErrorPercent+0.5871) > 0.0014 || leaks[0].WithoutPercent != 0 {
		t.Errorf("%+v", leaks[0])
	}
	if !(leaks[1].ErrorPercent < 0 && leaks[1].ErrorPercent > -0.001) || math.Abs(leaks[1].WithPercent-leaks[1].WithoutPercent-leaks[1].ErrorPercent) > 1e-15 {
		t.Errorf("%+v", leaks[1])
	}
	if leaks, err = protect.Leakage(f.Meter, st, protect.Clamp{}); err != nil || leaks[0].ErrorPercent != 0 || !math.IsNaN(leaks[0].DiodeAmperes) {
		t.Errorf("without diodes: %+v, %v", leaks, err)
	}
}

func TestSolveRefuses(t *testing.T) {
	m, st := benchMeter(t)
	bad := clamp(t, protect.AcrossMovement)
	bad.Diode.InSeries = 0
	for name, err := range map[string]error{
		"no diodes in series": func() error { _, err := protect.Solve(m, st, 0, protect.Supply(1, 1), bad); return err }(),
		"not whole":           func() error { _, err := protect.Solve(m, st, 6, protect.Supply(1, 1), protect.Clamp{}); return err }(),
		"faults":              func() error { _, err := protect.Faults(m, st, 1, protect.Supply(1, 1), bad, nil); return err }(),
		"leakage":             func() error { _, err := protect.Leakage(m, st, bad); return err }(),
	} {
		if err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestParseModel(t *testing.T) {
	if m, err := protect.ParseModel(" 1n4148 "); err != nil || m.SaturationAmperes != 2.52e-9 || m.SeriesOhms != 0.568 {
		t.Errorf("%+v, %v", m, err)
	}
	want := nodal.Model{SaturationAmperes: 7.03e-9, Emission: 1.808, SeriesOhms: 0.034, SaturationPower: 3, GapVolts: 1.11, NominalCelsius: 25}
	for _, text := range []string{"is=7.03e-9,n=1.808,rs=0.034,xti=3,eg=1.11,tnom=25", "RS = 0.034, N=1.808 ,IS=7.03e-9"} {
		if m, err := protect.ParseModel(text); err != nil || m != want {
			t.Errorf("%q: %+v, %v", text, m, err)
		}
	}
	tests := map[string]string{
		"1N9999":            `"1N9999" is no part number`,
		"":                  `"" is no part number`,
		"n=1.8,rs=0.03":     "a diode needs a saturation current, is",
		"is=0":              "is is 0, and from 1e-30 to 1 belongs there",
		"is=1e300":          "is is 1e+300, and from",
		"is=1e-9,is=2e-9":   `"is" is no part number known here and no parameter, or stands twice`,
		"is=1e-9,bv=100":    `"bv" is no`,
		"is=x":              `"x" is no number`,
		"is=1e-9,rs=-1":     "rs is -1, and from 0 to 1e+06 belongs there",
		"is=1e-9,n=1e-6":    "n is 1e-06, and from 0.1 to 100 belongs there",
		"is=nan":            "is is NaN, and from",
		"is=1e-9,eg=1e5":    "eg is 100000, and from",
		"is=1e-9,xti=-1e6":  "xti is -1e+06, and from",
		"is=1e-9,tnom=-300": "tnom is -300, and from -200 to 1000 belongs there",
	}
	for text, want := range tests {
		if _, err := protect.ParseModel(text); err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), "1N4007 or 1N4148") {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}

// A diode without ohmic resistance, straight across a source that has none: the
// movement carries what that drives through it, 100 V through 150 ohm, and no such
// source is taken for one that contradicts itself.
func TestStiffSource(t *testing.T) {
	f, err := meterfile.Parse("m.json", []byte(`{"movement": {"full_scale": "1 mA", "coil": "150 ohm"}, "circuits": [{"circuit": "multiplier", "range": "100 V"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"is=7.03e-9,n=1.808", "is=1e-14", "is=1e-14,n=0.1", "is=1", "is=1e-30,n=100,rs=1e6"} {
		model, err := protect.ParseModel(text)
		if err != nil {
			t.Fatal(err)
		}
		clamp := protect.Clamp{Diode: nodal.Diode{Model: model, InSeries: 1, Celsius: 25}, Across: protect.Places["movement"]}
		for _, f := range every(t, f.Meter, f.Meter.State([]float64{99.85e3}), protect.Supply(100, 0), clamp, nil) {
			if math.Abs(f.WithDiodesTimes/(100/150e-3)-1) > 1e-9 {
				t.Errorf("%s: %+v", text, f)
			}
		}
	}
}

func FuzzParseModel(f *testing.F) {
	f.Add("1N4007")
	f.Add("is=7.03e-9,n=1.808,rs=0.034,xti=3,eg=1.11,tnom=25")
	f.Add("is=,,=")
	f.Fuzz(func(t *testing.T, text string) {
		m, err := protect.ParseModel(text)
		if err == nil && (nodal.Diode{Model: m, InSeries: 1, Celsius: 25}).Check() != nil {
			t.Errorf("%q gives %+v, which is no diode", text, m)
		}
	})
}

// One part at a time, by hand: of a string of 10 and 20 kohm before 100 ohm the
// other is left when one shorts; of 2 and 2 ohm side by side 2 ohm when one
// opens, and then the movement has 2/102 of what the source drives.
func TestPartsOfANetwork(t *testing.T) {
	f, err := meterfile.Parse("m.json", []byte(`{"movement": {"full_scale": "1 mA", "coil": "100 ohm"}, "circuits": [
		{"circuit": "multiplier", "range": "30 V", "fitted": "A + B"}, {"circuit": "shunt", "range": "100 mA", "fitted": "C || D"}, {"circuit": "multiplier", "range": "3 V", "fitted": "E"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	m, fitted := f.Meter, map[int]protect.Fitted{}
	for i, ohms := range [][]float64{{10e3, 20e3}, {2, 2}, {2900}} {
		fitted[m.Positions()[i].Resistor] = protect.Fitted{Network: f.Fitted[i].Network, Ohms: ohms}
	}
	faults := every(t, m, m.State([]float64{30e3, 1, 2900}), protect.Supply(30, 100), protect.Clamp{}, fitted)
	want := [][]float64{{30.0 / 20200, 30.0 / 10200}, {30 / (100 + 200.0/102) * 2 / 102, 30 / (100 + 200.0/102) * 2 / 102}, nil}
	for i, f := range faults {
		if len(f.Parts) != len(want[i]) {
			t.Fatalf("%+v", f)
		}
		for k, p := range f.Parts {
			if math.Abs(p.MovementAmperes/want[i][k]-1) > 1e-12 || p.Last() != p.TimesFullScale || p.Part != string("ABCD"[2*i+k]) {
				t.Errorf("%+v, want %v A", p, want[i][k])
			}
		}
	}
	if worst := faults[0].Worst(); worst.Part != "B" || faults[2].Worst() != nil {
		t.Errorf("worst %+v", worst)
	}
}
