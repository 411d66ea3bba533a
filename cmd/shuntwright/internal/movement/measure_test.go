package movement

import (
	"math"
	"slices"
	"strings"
	"testing"

	"shuntwright/meter/budget"
	"shuntwright/meter/metertest"
	"shuntwright/meter/nodal"
)

// near wants two numbers within a relative tolerance.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)+1e-15) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

// exactly is a quantity that nothing is known against.
func exactly(x float64) budget.Input { return budget.Input{Value: x} }

// half is a movement of so many marks behind a series resistor of s ohms, with a
// shunt of r ohms, read before and after; volts NaN: no battery is known.
func half(s, r, before, after, volts, marks float64) (Finding, error) {
	return Half(exactly(s), exactly(r), Pointer{Marks: marks, Reads: []float64{before, after}}, exactly(volts))
}

// compare is one behind two series resistors.
func compare(first, second, before, after, volts, marks float64) (Finding, error) {
	return Compare([2]budget.Input{exactly(first), exactly(second)}, Pointer{Marks: marks, Reads: []float64{before, after}}, exactly(volts))
}

// drop is one read at a current and a voltage.
func drop(volts, amperes, read, marks float64) (Finding, error) {
	return Drop(exactly(volts), exactly(amperes), Pointer{Marks: marks, Reads: []float64{read}})
}

// Every worked example of testdata/published/movements.csv, which names the
// sources.
func TestPublishedMeasurements(t *testing.T) {
	for _, row := range metertest.Rows(t, "../../../../testdata/published/movements.csv", 8) {
		var got Finding
		var err error
		switch id := row["id"]; row["method"] {
		case "drop":
			got, err = drop(row.Number(t, "volts"), row.Number(t, "amperes"), 50, 50)
		case "half":
			reads := row.Numbers(t, "reads")
			got, err = half(row.Number(t, "series_ohms"), row.Number(t, "shunt_ohms"), reads[0], reads[1], math.NaN(), math.NaN())
		case "compare":
			volts := math.NaN()
			if row["volts"] != "" {
				volts = row.Number(t, "volts")
			}
			s, d := row.Numbers(t, "series_ohms"), row.Numbers(t, "reads")
			if got, err = compare(s[0], s[1], d[0], d[1], volts, d[0]); got.FullScale.Known() {
				near(t, id+" full scale", got.FullScale.Value, row.Number(t, "amperes"), 1e-12)
			}
		}
		if err != nil {
			t.Errorf("%s: %v", row["id"], err)
			continue
		}
		near(t, row["id"], got.Coil.Value, row.Number(t, "exact_ohms"), 1e-12)
		if row["printed_ohms"] == "" {
			continue
		}
		for _, printed := range row.Numbers(t, "printed_ohms") {
			near(t, row["id"]+" as printed", got.Coil.Value, printed, 2e-3)
		}
	}
}

// The simulator's decks of half deflection: the shunt that it halves the
// movement's current with gives the coil back, and so do shunts that are 1 %
// off with the currents that it found.
func TestHalfAgainstSimulator(t *testing.T) {
	n := 0
	for _, c := range metertest.Load(t, "../../../../testdata/spice") {
		if !strings.HasPrefix(c.Name, "half-deflection") {
			continue
		}
		coil := metertest.Ohms(t, c.Movement.Coil)
		before := map[float64]float64{}
		for _, p := range c.Points {
			series, through := *p.Given.SeriesOhms+c.BatteryOhms, p.Answers["movement_current_a"]
			if p.Given.ShuntOhms == nil {
				before[series] = through
				continue
			}
			was := before[series]
			if was == 0 {
				continue // the total current set again: another method
			}
			got, err := half(series, *p.Given.ShuntOhms, was, through, *p.Given.BatteryVolts, was)
			if err != nil {
				t.Fatal(err)
			}
			near(t, c.Name+" "+p.Point, got.Coil.Value, coil, 2e-9) // ten digits of two currents
			near(t, c.Name+" "+p.Point+" current", got.FullScale.Value, was, 2e-9)
			n++
		}
	}
	if n < 15 {
		t.Errorf("only %d points", n)
	}
}

// deflection is the current in a coil behind a battery and a series resistor,
// with a shunt across it unless that is infinite.
func deflection(t *testing.T, volts, series, shunt, coil float64) float64 {
	t.Helper()
	var net nodal.Netlist
	net.VoltSource("emf", nodal.Ground, volts)
	net.Resistor("emf", "meter", series)
	net.Resistor("meter", nodal.Ground, shunt)
	e := net.Resistor("meter", nodal.Ground, coil)
	s, err := net.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return s.Through(e)
}

// What the nodes of a circuit say the pointer shows gives the coil back,
// whatever the movement, the battery and the resistors.
func TestMeasurementsAgainstNodes(t *testing.T) {
	const volts = 1.5
	for _, coil := range []float64{0.5, 98.6, 2150, 1e5} {
		for _, times := range []float64{1.7, 12, 300} {
			series, off := coil*times, math.Inf(1)
			full := volts / (series + coil) / 0.9 // so the first reading stands at 90 % of 50 divisions
			read := func(series, shunt float64) float64 { return 50 / full * deflection(t, volts, series, shunt, coil) }
			holds := func(f Finding, err error) {
				t.Helper()
				if err != nil {
					t.Fatal(err)
				}
				near(t, f.Method, f.Coil.Value, coil, 1e-8)
				near(t, f.Method+", full scale", f.FullScale.Value, full, 1e-9)
			}
			for _, shunt := range []float64{coil / 3, coil, 5 * coil} {
				holds(half(series, shunt, read(series, off), read(series, shunt), volts, 50))
			}
			for _, other := range []float64{0.4, 2, 7} {
				holds(compare(series, series*other, read(series, off), read(series*other, off), volts, 50))
			}
		}
	}
}

// stepped is the slope of f by its i-th quantity, from a small step each way.
func stepped(at []float64, i int, f func([]float64) float64) float64 {
	step := 1e-5 * at[i]
	up, down := slices.Clone(at), slices.Clone(at)
	up[i], down[i] = at[i]+step, at[i]-step
	return (f(up) - f(down)) / (2 * step)
}

// Every slope is what a small step of its quantity does.
func TestSlopesOfMeasurements(t *testing.T) {
	for _, test := range []struct {
		name      string
		at        []float64
		coil, all []int // the places of what the coil and the full scale were computed from, in their order
		found     func(x []float64) (Finding, error)
	}{
		{"drop", []float64{0.0986, 0.6e-3, 30}, []int{0, 1}, []int{1, 2}, func(x []float64) (Finding, error) { return drop(x[0], x[1], x[2], 50) }},
		{"half", []float64{1400, 80, 48, 22, 1.5}, []int{0, 1, 2, 3}, []int{0, 1, 2, 3, 4}, func(x []float64) (Finding, error) { return half(x[0], x[1], x[2], x[3], x[4], 50) }},
		{"compare", []float64{1400, 2900, 49, 24.5, 1.5}, []int{0, 1, 2, 3}, []int{0, 1, 2, 3, 4}, func(x []float64) (Finding, error) { return compare(x[0], x[1], x[2], x[3], x[4], 50) }},
	} {
		f, err := test.found(test.at)
		if err != nil || len(f.Coil.of) != len(test.coil) || len(f.FullScale.of) != len(test.all) {
			t.Fatalf("%s: %d and %d inputs, %v", test.name, len(f.Coil.of), len(f.FullScale.of), err)
		}
		for k, in := range f.Coil.of {
			near(t, test.name, in.Slope, stepped(test.at, test.coil[k], func(x []float64) float64 { f, _ := test.found(x); return f.Coil.Value }), 1e-6)
		}
		for k, in := range f.FullScale.of {
			near(t, test.name+", full scale", in.Slope, stepped(test.at, test.all[k], func(x []float64) float64 { f, _ := test.found(x); return f.FullScale.Value }), 1e-6)
		}
	}
}

// What no coil gives is refused, and says what would be right.
func TestMeasurementsRefused(t *testing.T) {
	nan := math.NaN()
	failed := func(_ Finding, err error) error { return err }
	for want, err := range map[string]error{
		"a reading of 0 of 50 marks at 0.1 A; all must": failed(drop(1, 0.1, 0, 50)),
		"both must be more than zero":                   failed(drop(0.1, 0, 50, 50)),
		"must be less than 100.0 Ω: else no coil":       failed(half(100, 100, 1, 0.5, nan, nan)),
		"must be less than 50.00 Ω: else no coil":       failed(half(50, 60, 1, 0.5, nan, nan)),
		"series 0 ohm, shunt 60 ohm; both must":         failed(half(0, 60, 1, 0.5, nan, nan)),
		"50 without the shunt and 50 with it":           failed(half(500, 60, 50, 50, nan, nan)),
		"both readings are 25":                          failed(compare(1, 2, 25, 25, nan, nan)),
		"would make the coil -3.000 kΩ":                 failed(compare(1e3, 2e3, 25, 50, nan, nan)),
		"neither may be less than zero":                 failed(compare(-1, 2, 25, 50, nan, nan)),
		"readings 0 and 50; both must be more":          failed(compare(1, 2, 0, 50, nan, nan)),
		"a battery of 0 V, 50 marks":                    failed(half(500, 60, 50, 25, 0, 50)),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}
