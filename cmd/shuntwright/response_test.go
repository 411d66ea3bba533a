package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/match/matchtest"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

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
