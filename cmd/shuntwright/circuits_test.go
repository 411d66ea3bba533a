package main

import (
	"os"
	"path/filepath"
	"shuntwright/cmd/shuntwright/internal/predict"
	"strings"
	"testing"
)

// TestPredictCircuitsOfTheTrade holds predict against circuits from published
// service notes, military course texts and textbooks. The figures were worked
// out from the meter files with exact rationals, not with this program; the
// circuit simulator ngspice 39 agrees (testdata/circuits/README.md).
//
// Ohms and volts must agree to 1e-12. A percentage is 100·(ratio - 1): the
// subtraction leaves an absolute error of some units in the last place of 1,
// times 100, however small the percentage is, so 1e-12 percentage points come
// on top.
func TestPredictCircuitsOfTheTrade(t *testing.T) {
	t.Parallel()
	const folder = "../../testdata/circuits/"
	var expected map[string]predict.Answer
	readJSON(t, folder+"expected.json", &expected)
	files, err := filepath.Glob(folder + "*.json")
	if err != nil || len(files) != len(expected)+1 || len(expected) < 30 {
		t.Fatalf("%d files (%v) for %d expected answers", len(files)-1, err, len(expected))
	}
	for name, want := range expected {
		t.Run(name, func(t *testing.T) {
			first, _, _ := strings.Cut(name, ".")
			drawer := folder + first + ".drawer.csv"
			if _, err := os.Stat(drawer); err != nil {
				drawer = filepath.Join(t.TempDir(), "none.csv")
			}
			var got predict.Answer
			answered(t, &got, "predict", folder+name+".json", "--drawer", drawer)
			comparePrediction(t, got, want)
		})
	}
}

func comparePrediction(t *testing.T, got, want predict.Answer) {
	if got.Meter != want.Meter || len(got.Positions) != len(want.Positions) || len(got.Ranges) != len(want.Ranges) || len(*got.Open) > 0 {
		t.Fatalf("%q, %d positions, %d ranges, open %q; want %q, %d, %d and none", got.Meter, len(got.Positions), len(got.Ranges), *got.Open,
			want.Meter, len(want.Positions), len(want.Ranges))
	}
	check := func(what string, got, want *float64, absolute float64) {
		t.Helper()
		if !near(got, want, 1e-12, absolute) {
			t.Errorf("%s: %v, want %v", what, number(got), number(want))
		}
	}
	const percentagePoints = 1e-12
	for i, w := range want.Positions {
		g := got.Positions[i]
		if g.Position != w.Position {
			t.Errorf("position %q, want %q", g.Position, w.Position)
		}
		check(w.Position+" target", g.TargetOhms, w.TargetOhms, 0)
		check(w.Position+" ohms", g.Ohms, w.Ohms, 0)
		check(w.Position+" error", g.ErrorPercent, w.ErrorPercent, percentagePoints)
	}
	for i, w := range want.Ranges {
		g := got.Ranges[i]
		if g.Range != w.Range || g.Unit != w.Unit {
			t.Errorf("range %q in %s, want %q in %s", g.Range, g.Unit, w.Range, w.Unit)
		}
		check(w.Range+" full scale", &g.FullScale, &w.FullScale, 0)
		check(w.Range+" error", g.FullScaleError, w.FullScaleError, percentagePoints)
		check(w.Range+" drop", g.DropVolts, w.DropVolts, 0)
	}
	check("worst", got.Worst, want.Worst, percentagePoints)
}
