package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/match/matchtest"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
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

// TestResponsesKeepTheContract holds what meters tell the search against
// match.Response: random meters of every kind of circuit, a chain and a
// multiplier in front of a ring that stays across the movement, at random
// resistances from a tenth to ten times the target.
func TestResponsesKeepTheContract(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 5))
	for range 60 {
		m := drawnMeter(t, r)
		targets, err := m.Targets()
		if err != nil {
			t.Fatal(err)
		}
		open := make([]int, len(targets))
		for i := range open {
			open[i] = i
		}
		sample := func(rng *rand.Rand) []float64 {
			out := make([]float64, len(targets))
			for i, target := range targets {
				out[i] = target * math.Pow(10, 2*rng.Float64()-1)
			}
			return out
		}
		matchtest.Check(t, m.Response(open, targets), len(m.Ranges()), len(open), sample, 50)
	}
}

// drawnMeter is a random meter with a circuit of every kind.
func drawnMeter(t *testing.T, r *rand.Rand) *meter.Meter {
	between := func(lo, hi float64) float64 { return lo * math.Pow(hi/lo, r.Float64()) }
	mv := meter.NewMovement(between(20e-6, 5e-3), between(20, 5000))
	im, named := mv.FullScaleAmperes, 0
	rising := func(n int, from float64, unit quantity.Unit) []meter.Range {
		var out []meter.Range
		for range n {
			from *= between(1.1, 10)
			named++
			out = append(out, meter.Range{Name: fmt.Sprintf("range%d %g %s", named, from, unit), FullScale: from, Unit: unit, CircuitVolts: math.NaN()})
		}
		return out
	}
	amperes := func(n int) []meter.Range { return rising(n, im, quantity.Ampere) }
	taps := amperes(1 + r.IntN(4))
	loop := im * mv.Ohms() / (1 - im/taps[0].FullScale)
	volts := func(n int) []meter.Range { return rising(n, loop, quantity.Volt) }
	var circuits []meter.Circuit
	add := func(kind string, s meter.Spec) {
		c, err := meter.NewCircuit(kind, s)
		if err != nil {
			t.Fatal(err)
		}
		circuits = append(circuits, c)
	}
	tap := func() string { return taps[r.IntN(len(taps))].Name }
	add("chain", meter.Spec{Ranges: volts(1 + r.IntN(4)), WithRing: tap()})
	add("ring", meter.Spec{Ranges: taps})
	add("multiplier", meter.Spec{Ranges: volts(1), WithRing: tap()})
	add("chain", meter.Spec{Ranges: volts(2)})
	add("multiplier", meter.Spec{Ranges: volts(1)})
	add("shunt", meter.Spec{Ranges: amperes(1)})
	add("external-shunt", meter.Spec{Ranges: amperes(1), Given: map[string]float64{"drop": 3 * loop}})
	m, err := meter.New("drawn", mv, math.NaN(), circuits)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestPlansThroughTheRing holds the plan of a ring and a chain through one of
// its taps against all assignments of single parts: no other has a smaller
// worst error, but for what counts as a step. Parts are invented.
func TestPlansThroughTheRing(t *testing.T) {
	r := rand.New(rand.NewPCG(22, 5))
	for trial := range 12 {
		dir, tap := t.TempDir(), []string{"3 mA", "15 mA"}[trial%2]
		file := put(t, dir, "m.json", `{"movement": {"full_scale": "1 mA", "coil": "100 ohm"}, "circuits": [{"circuit": "ring", "ranges": ["3 mA", "15 mA"]},
			{"circuit": "chain", "ranges": ["6 V", "30 V"], "with_ring": "`+tap+`"}]}`)
		var planned predict.Answer
		answered(t, &planned, "targets", file)
		ohms, drawer := []float64{}, "id,ohms\n"
		for _, p := range planned.Positions {
			for range 2 {
				ohms = append(ohms, *p.TargetOhms*(0.97+0.06*r.Float64()))
				drawer += fmt.Sprintf("R%03d,%.17g\n", len(ohms), ohms[len(ohms)-1])
			}
		}
		answered(t, &planned, "plan", file, "--drawer", put(t, dir, "drawer.csv", drawer), "--parts", "1")
		best := math.Inf(1)
		for choice := range 16 {
			s1, s2 := ohms[choice&1], ohms[2+choice>>1&1]
			c1, c2 := ohms[4+choice>>2&1], ohms[6+choice>>3&1]
			loop, tapOhms := 100+s1+s2, s1+s2
			worst := math.Max(math.Abs(3*tapOhms/loop-1), math.Abs(15*s2/loop-1))
			if tap == "15 mA" {
				tapOhms = s2
			}
			inner := tapOhms * (loop - tapOhms) / loop
			for k, volts := range []float64{6, 30} {
				chain := c1 + float64(k)*c2
				worst = math.Max(worst, math.Abs(1000*volts/(chain+inner)*tapOhms/loop-1))
			}
			best = math.Min(best, 100*worst)
		}
		if got := *planned.Worst; got > best+0.06 || got < best-1e-9 {
			t.Errorf("through %s: worst error %v %%, the best of all assignments has %v", tap, got, best)
		}
	}
}
