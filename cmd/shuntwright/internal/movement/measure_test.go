package movement

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"shuntwright/meter/budget"
	"shuntwright/meter/nodal"
	"shuntwright/meter/quantity"
	"shuntwright/meter/spicetest"
)

// rows reads one table of published examples: the numbers of each row by the
// column's name, its texts as well.
func rows(t *testing.T, name string, atLeast int) (texts []map[string]string, numbers []map[string][]float64) {
	t.Helper()
	file, err := os.Open("../../../../testdata/published/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	all, err := csv.NewReader(file).ReadAll()
	if err != nil || len(all)-1 < atLeast {
		t.Fatalf("%s: %d rows, want %d; %v", name, len(all)-1, atLeast, err)
	}
	for _, cells := range all[1:] {
		said, read := map[string]string{}, map[string][]float64{}
		for i, head := range all[0] {
			said[head] = cells[i]
			for _, one := range strings.Split(cells[i], ";") {
				if x, err := strconv.ParseFloat(one, 64); err == nil {
					read[head] = append(read[head], x)
				}
			}
		}
		texts, numbers = append(texts, said), append(numbers, read)
	}
	return texts, numbers
}

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
	texts, numbers := rows(t, "movements.csv", 8)
	for i, n := range numbers {
		var got Finding
		var err error
		volts := append(n["volts"], math.NaN())[0]
		switch id := texts[i]["id"]; texts[i]["method"] {
		case "drop":
			got, err = drop(volts, n["amperes"][0], 50, 50)
		case "half":
			got, err = half(n["series_ohms"][0], n["shunt_ohms"][0], n["reads"][0], n["reads"][1], math.NaN(), math.NaN())
		case "compare":
			s, d := n["series_ohms"], n["reads"]
			if got, err = compare(s[0], s[1], d[0], d[1], volts, d[0]); got.FullScale.Known() {
				near(t, id+" full scale", got.FullScale.Value, n["amperes"][0], 1e-12)
			}
		}
		if err != nil {
			t.Errorf("%s: %v", texts[i]["id"], err)
			continue
		}
		near(t, texts[i]["id"], got.Coil.Value, n["exact_ohms"][0], 1e-12)
		for _, printed := range n["printed_ohms"] {
			near(t, texts[i]["id"]+" as printed", got.Coil.Value, printed, 2e-3)
		}
	}
}

// The simulator's decks of half deflection: the shunt that it halves the
// movement's current with gives the coil back, and so do shunts that are 1 %
// off with the currents that it found.
func TestHalfAgainstSimulator(t *testing.T) {
	cases, err := spicetest.Load("../../../../testdata/spice")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, c := range cases {
		if !strings.HasPrefix(c.Name, "half-deflection") {
			continue
		}
		coil, err := quantity.Parse(c.Movement.Coil, quantity.Ohm, quantity.Positive)
		if err != nil {
			t.Fatal(err)
		}
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
			near(t, c.Name+" "+p.Point, got.Coil.Value, coil.Base, 2e-9) // ten digits of two currents
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
