package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/predict"
)

// trial is a meter and a drawer drawn at random, and how it is planned.
type trial struct {
	kind          string
	meter, drawer string
	flags         []string
	derate        float64
}

// drawKinds are the circuits that drawBench makes, in the words of the meter file;
// %[1]s and so on are currents above full scale, %[5]s and so on voltages.
var drawKinds = map[string]string{
	"shunt":            `{"circuit": "shunt", "range": "%[1]s"}, {"circuit": "shunt", "range": "%[4]s"}`,
	"multiplier":       `{"circuit": "multiplier", "range": "%[5]s"}, {"circuit": "multiplier", "range": "%[8]s"}`,
	"ring":             `{"circuit": "ring", "ranges": ["%[1]s", "%[2]s", "%[3]s", "%[4]s"]}`,
	"chain":            `{"circuit": "chain", "ranges": ["%[5]s", "%[6]s", "%[7]s", "%[8]s"]}`,
	"external shunt":   `{"circuit": "external-shunt", "range": "%[3]s", "series": "820 ohm"}, {"circuit": "external-shunt", "range": "%[4]s", "drop": "400 mV"}`,
	"ring with chain":  `{"circuit": "ring", "ranges": ["%[1]s", "%[2]s", "%[3]s"]}, {"circuit": "chain", "ranges": ["%[5]s", "%[6]s", "%[7]s"], "with_ring": "%[1]s"}`,
	"ring, multiplier": `{"circuit": "ring", "ranges": ["%[1]s", "%[2]s", "%[3]s"]}, {"circuit": "multiplier", "range": "%[7]s", "with_ring": "%[1]s"}`,
}

// drawBench draws a meter of a kind and a drawer of half-watt parts that does not
// reach everywhere.
func drawBench(rng *rand.Rand, kind string) trial {
	b := trial{kind: kind, derate: []float64{0.5, 0.5, 0.3, 1}[rng.IntN(4)]}
	full := []float64{50e-6, 200e-6, 1e-3, 2e-3}[rng.IntN(4)]
	var ranges []any
	for i := range 4 {
		ranges = append(ranges, fmt.Sprintf("%.3g mA", 1e3*full*math.Pow(6+3*rng.Float64(), 0.4+0.9*float64(i))))
	}
	for i := range 4 {
		ranges = append(ranges, fmt.Sprintf("%.3g V", 2*math.Pow(5+3*rng.Float64(), float64(i))))
	}
	b.meter = fmt.Sprintf(`{"name": "m", "class": %v, "movement": {"full_scale": "%.3g uA", "coil": "%.3g ohm"}, "circuits": [`,
		[]float64{1, 1.5, 2.5, 5}[rng.IntN(4)], 1e6*full, 0.1*(0.8+0.4*rng.Float64())/full) + fmt.Sprintf(drawKinds[kind]+"%.0[9]s]}", append(ranges, "")...)
	var drawer strings.Builder
	drawer.WriteString("id,ohms,gain_percent,watts,volts\n")
	from := rng.Float64()
	for i := range 12 + rng.IntN(30) {
		fmt.Fprintf(&drawer, "R%d,%.4g,0.01,0.5,350\n", i, math.Pow(10, from+4.5*rng.Float64()))
	}
	b.drawer = drawer.String()
	parts := 1 + rng.IntN(4)
	b.flags = []string{"--parts", fmt.Sprint(parts), "--derate", fmt.Sprint(b.derate), "--time-limit", "5s"}
	return b
}

// withBought is the drawer with what was named in it, with exactly the ratings named.
func withBought(drawer string, items []boughtItem) string {
	for i, it := range items {
		for k := range it.Count {
			drawer += fmt.Sprintf("N%d%d,%v,0.01,%v,%v\n", i, k, it.Ohms, it.Watts, it.Volts)
		}
	}
	return drawer
}

// atOnce are meters of each kind for which something is found in a fraction of a
// second.
var atOnce = map[string][]uint64{"shunt": {1, 4}, "multiplier": {0, 3}, "ring": {6}, "chain": {2}, "external shunt": {6},
	"ring with chain": {7}, "ring, multiplier": {11}}

// TestBuyHolds: on random meters of every circuit, what is named, added with
// exactly the ratings named, makes the meter whole and within its class, and no
// rating is exceeded. Without SHUNTWRIGHT_SLOW a few of them are enough.
func TestBuyHolds(t *testing.T) {
	for kind := range drawKinds {
		t.Run(kind, func(t *testing.T) {
			t.Parallel()
			seeds, helped := atOnce[kind], 0
			for seed := uint64(0); seed < 40 && os.Getenv("SHUNTWRIGHT_SLOW") != ""; seed++ {
				seeds = append(seeds, seed)
			}
			for _, seed := range seeds {
				if drawBench(rand.New(rand.NewPCG(seed, uint64(len(kind)))), kind).holds(t, seed) {
					helped++
				}
			}
			if helped < len(atOnce[kind]) {
				t.Errorf("hardly tested: of %d meters %d were helped", len(seeds), helped)
			}
		})
	}
}

// holds tells whether anything was to be bought.
func (b trial) holds(t *testing.T, seed uint64) bool {
	dir := t.TempDir()
	meter, drawer := put(t, dir, "m.json", b.meter), put(t, dir, "drawer.csv", b.drawer)
	flags := append([]string{meter, "--drawer", drawer}, b.flags...)
	var got planAnswer
	answered(t, &got, slices.Concat([]string{"plan"}, flags, []string{"--buy", "2", "--series", "E24"})...)
	if !got.Buy.Found || len(got.Buy.Items) == 0 {
		return false
	}
	if len(got.Buy.Items) > 2 {
		t.Errorf("%s %d: more than two values: %+v", b.kind, seed, got.Buy.Items)
	}
	for _, it := range got.Buy.Items {
		if it.Watts > 0.5 || it.Volts > 350 {
			t.Errorf("%s %d: cannot be had: %+v", b.kind, seed, it)
		}
	}
	put(t, dir, "drawer.csv", withBought(b.drawer, got.Buy.Items))
	if s := program(append([]string{"fit"}, flags...)...); s.code == exitWrong {
		t.Fatalf("%s %d: fit: %s", b.kind, seed, s.err)
	}
	var as predict.Answer
	answered(t, &as, "predict", meter, "--drawer", drawer, "--ratings")
	if len(*as.Open) > 0 || len(as.Ranges) == 0 || len(as.Ratings) == 0 {
		t.Fatalf("%s %d: open %v, with %+v", b.kind, seed, *as.Open, got.Buy.Items)
	}
	for _, r := range as.Ranges {
		if math.Abs(*r.FullScaleError) > *as.Class*(1+1e-9) {
			t.Errorf("%s %d: %v %% of %v %% with %+v", b.kind, seed, *r.FullScaleError, *as.Class, got.Buy.Items)
		}
	}
	for _, r := range as.Ratings {
		if r.Watts > *r.RatedWatts || r.Volts > *r.RatedVolts {
			t.Errorf("%s %d: %s in %s carries %v W, %v V; rated for %v W, %v V", b.kind, seed, r.Part, r.Position, r.Watts, r.Volts, *r.RatedWatts, *r.RatedVolts)
		}
		if strings.HasPrefix(r.Part, "N") && r.Watts > 1.01*b.derate**r.RatedWatts {
			t.Errorf("%s %d: %s in %s carries %v W, more than its share of %v W", b.kind, seed, r.Part, r.Position, r.Watts, *r.RatedWatts)
		}
	}
	return true
}
