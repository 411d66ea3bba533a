package meterfile_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shuntwright/meter/meterfile"
	"shuntwright/meter/metertest"
)

const circuitsFolder = "../../testdata/circuits"

// expected is what expected.json holds for one meter file.
type expected struct {
	Meter     string
	Positions []struct {
		Position     string
		TargetOhms   float64 `json:"target_ohms"`
		Ohms         float64
		ErrorPercent float64 `json:"error_percent"`
	}
	Ranges []struct {
		Range                 string
		FullScale             float64 `json:"full_scale"`
		Unit                  string
		FullScaleErrorPercent float64  `json:"full_scale_error_percent"`
		DropVolts             *float64 `json:"drop_volts"`
	}
	Worst float64 `json:"worst_full_scale_error_percent"`
}

// drawerOf reads the drawer that goes with a meter file, where there is one: ohms by id.
func drawerOf(t *testing.T, name string) map[string]float64 {
	stem, _, _ := strings.Cut(name, ".")
	path := filepath.Join(circuitsFolder, stem+".drawer.csv")
	if _, err := os.Stat(path); err != nil {
		return nil
	}
	out := map[string]float64{}
	for _, row := range metertest.Rows(t, path, 1) {
		out[row["id"]] = metertest.Ohms(t, row["ohms"])
	}
	return out
}

// resolve gives the ohms of every position; NaN where it is open.
func resolve(f *meterfile.File, drawer map[string]float64) []float64 {
	var out []float64
	for _, fit := range f.Fitted {
		if !fit.Present {
			out = append(out, math.NaN())
			continue
		}
		var leaves []float64
		for _, leaf := range fit.Network.Leaves() {
			if leaf.ID == "" {
				leaves = append(leaves, leaf.Ohms.Base)
			} else {
				leaves = append(leaves, drawer[leaf.ID])
			}
		}
		out = append(out, fit.Network.Resistance(leaves))
	}
	return out
}

func parseFile(t *testing.T, path string) *meterfile.File {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	f, err := meterfile.Parse(filepath.Base(path), data)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// near compares to 1e-12 of the value; points is what is allowed near zero besides.
func near(t *testing.T, what string, got, want, points float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-12*math.Abs(want)+points) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// The circuits of the trade against exact rationals. Errors near zero are
// differences of 1, so 1e-12 points are allowed beside 1e-12 of the value.
func TestCircuitsOfTheTrade(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(circuitsFolder, "expected.json"))
	if err != nil {
		t.Fatal(err)
	}
	var all map[string]expected
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	if len(all) < 30 {
		t.Fatalf("%d meters in expected.json, want at least 30", len(all))
	}
	for name, want := range all {
		t.Run(name, func(t *testing.T) { checkExpected(t, name, want) })
	}
}

func checkExpected(t *testing.T, name string, want expected) {
	f := parseFile(t, filepath.Join(circuitsFolder, name+".json"))
	m := f.Meter
	got := m.Predict(resolve(f, drawerOf(t, name)))
	if m.Name != want.Meter || len(got.Positions) != len(want.Positions) || len(got.Ranges) != len(want.Ranges) {
		t.Fatalf("meter %q with %d positions and %d ranges", m.Name, len(got.Positions), len(got.Ranges))
	}
	targets, err := m.Targets()
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range want.Positions {
		if m.Positions()[i].Name != p.Position {
			t.Errorf("position %d is %q, want %q", i, m.Positions()[i].Name, p.Position)
		}
		near(t, p.Position+" target", targets[i], p.TargetOhms, 0)
		near(t, p.Position+" target", got.Positions[i].TargetOhms, p.TargetOhms, 0)
		near(t, p.Position+" ohms", got.Positions[i].Ohms, p.Ohms, 0)
		near(t, p.Position+" error", got.Positions[i].ErrorPercent, p.ErrorPercent, 1e-12)
	}
	for i, r := range want.Ranges {
		have := m.Ranges()[i]
		if have.Name != r.Range || string(have.Unit) != r.Unit {
			t.Errorf("range %d is %q in %s, want %q in %s", i, have.Name, have.Unit, r.Range, r.Unit)
		}
		near(t, r.Range+" full scale", have.FullScale, r.FullScale, 0)
		near(t, r.Range+" error", got.Ranges[i].ErrorPercent, r.FullScaleErrorPercent, 1e-12)
		if r.DropVolts != nil {
			near(t, r.Range+" drop", got.Ranges[i].DropVolts, *r.DropVolts, 0)
		} else if !math.IsNaN(got.Ranges[i].DropVolts) {
			t.Errorf("%s: drop %v on a voltage range", r.Range, got.Ranges[i].DropVolts)
		}
	}
	near(t, "worst", got.WorstPercent, want.Worst, 1e-12)
}
