package reading_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

const circuits = "../../testdata/circuits"

// limit is what a pointer is trusted to in these tests, as a fraction of full
// scale: 0.2 of 50 divisions.
const limit = 0.2 / 50

// load reads a meter of the trade with what is fitted in it; networks there are
// single resistances.
func load(t testing.TB, name string) (*meter.Meter, meter.State) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(circuits, name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	file, err := meterfile.Parse(name+".json", data)
	if err != nil {
		t.Fatal(err)
	}
	ohms := make([]float64, len(file.Fitted))
	for i, f := range file.Fitted {
		ohms[i] = math.NaN()
		if f.Present {
			ohms[i] = f.Network.Ohms.Base
		}
	}
	return file.Meter, file.Meter.State(ohms)
}

// readings reads a file of three columns: range, reference, indicated.
func readings(t testing.TB, m *meter.Meter, name string) []reading.Reading {
	t.Helper()
	f, err := os.Open(filepath.Join(circuits, name+".readings.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []reading.Reading
	for _, row := range rows[1:] {
		r, found := m.FindRange(row[0])
		if !found {
			t.Fatalf("no range %q", row[0])
		}
		out = append(out, point(m, r, value(t, row[1]), value(t, row[2])))
	}
	return out
}

func value(t testing.TB, text string) float64 {
	t.Helper()
	v, err := quantity.ParseNamed(text, quantity.NotNegative, quantity.Ampere, quantity.Volt)
	if err != nil {
		t.Fatal(err)
	}
	return v.Base
}

// point is a reading with an exact reference and the usual limit of the pointer.
func point(m *meter.Meter, r int, reference, indicated float64) reading.Reading {
	return reading.Reading{Range: r, Reference: reference, Indicated: indicated, IndicatedLimit: limit * m.Ranges()[r].FullScale}
}

// diagnose judges and diagnoses readings of a meter of the trade.
func diagnose(m *meter.Meter, st meter.State, rds []reading.Reading) reading.Diagnosis {
	j := reading.Judge(m.Ranges(), rds, m.Class, false)
	return reading.Diagnose(reading.Case{Meter: m, State: st, Readings: rds, Divisions: math.NaN(), Verdict: j.Verdict})
}

// single finds the explanation by one cause of that name.
func single(t testing.TB, d reading.Diagnosis, name string) reading.Explanation {
	t.Helper()
	i := slices.IndexFunc(d.Explanations, func(e reading.Explanation) bool { return len(e.Amounts) == 1 && e.Amounts[0].Cause.Name == name })
	if i < 0 {
		t.Fatalf("no explanation by %q: %+v", name, d)
	}
	return d.Explanations[i]
}

func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) && got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// told reports whether some note holds a text.
func told(d reading.Diagnosis, text string) bool {
	return slices.ContainsFunc(d.Notes, func(n string) bool { return strings.Contains(n, text) })
}

// shunted is a movement with two shunts of its own: 1 mA and 100 ohm, for 10
// and 100 mA.
func shunted(t testing.TB) (*meter.Meter, meter.State) {
	t.Helper()
	var circuits []meter.Circuit
	for _, full := range []float64{10e-3, 100e-3} {
		r := meter.Range{Name: quantity.Format(full, quantity.Ampere, 3), FullScale: full, Unit: quantity.Ampere, CircuitVolts: math.NaN()}
		c, err := meter.NewCircuit("shunt", meter.Spec{Ranges: []meter.Range{r}})
		if err != nil {
			t.Fatal(err)
		}
		circuits = append(circuits, c)
	}
	m, err := meter.New("two shunts", meter.NewMovement(1e-3, 100), 2, circuits)
	if err != nil {
		t.Fatal(err)
	}
	targets, err := m.Targets()
	if err != nil {
		t.Fatal(err)
	}
	return m, m.State(targets)
}

// points reads ranges at a half and at full scale, or what a fault makes of them.
func points(m *meter.Meter, f fault, ranges ...int) []reading.Reading {
	var out []reading.Reading
	for _, r := range ranges {
		full := m.Ranges()[r].FullScale
		for _, fraction := range []float64{0.4, 0.8} {
			out = append(out, point(m, r, fraction*full, f.show(m, r, fraction, reading.Either)*full))
		}
	}
	return out
}
