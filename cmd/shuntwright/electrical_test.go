package main

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/predict"
)

// What protect says of an open shunt, against the circuit simulator's answers
// in testdata/spice (clamp-shunt-open-25c, 1 mA 100 ohm, shunt 100 mA open).
// Its README allows 1e-5 between exact constants and the simulator's.
func TestProtectAgainstTheSimulator(t *testing.T) {
	t.Chdir(t.TempDir())
	put(t, ".", "m.json", `{"name": "m", "movement": {"full_scale": "1 mA", "coil": "100 ohm"},
 "circuits": [{"circuit": "shunt", "range": "100 mA", "fitted": "1.004 ohm", "contact": "5 mohm"}]}`)
	for _, test := range []struct {
		flags           string
		bare, withDiode float64
		survives        bool
	}{
		{"--supply 300V --source-ohms 1000 --diode 1N4148", 272.7272727273, 9.994998695078, true},
		{"--supply 300V --source-ohms 1000 --diode 1n4148 --in-series 2", 272.7272727273, 19.83270855649, false},
		{"--supply 50V --source-ohms 10 --diode 1N4148", 454.5454545455, 35.76516845848, false},
		{"--supply 800V --source-ohms 10000 --diode is=2.52e-9,n=1.752,rs=0.568", 79.20792079208, 8.134246229951, true},
	} {
		var answer protectAnswer
		answered(t, &answer, words("protect m.json "+test.flags)...)
		if len(answer.Faults) != 1 || answer.Faults[0].WithDiodes == nil || len(answer.Leakage) != 1 {
			t.Fatalf("%s: %+v", test.flags, answer)
		}
		f := answer.Faults[0]
		if math.Abs(f.Times/test.bare-1) > 1e-9 || math.Abs(*f.WithDiodes/test.withDiode-1) > 1e-5 || f.Survives != test.survives || f.Fault != "open" {
			t.Errorf("%s: %+v, want %v and %v times full scale, surviving %v", test.flags, f, test.bare, test.withDiode, test.survives)
		}
	}
}

// BAKS Ex 3.23 p 3.86 as recomputed with the handbook coefficients (copper
// 0.00393/K, manganin 0.000015/K): -3.730694 % bare, -0.959521 % swamped, 10 K
// above the reference. The swamping resistor of the meter keeps its value here,
// so only the bare row is the book's circuit.
func TestPredictTemperatureExercise(t *testing.T) {
	t.Chdir(t.TempDir())
	put(t, ".", "drawer.csv", "id,ohms,tempco_ppm\nS1,0.252525252525252525,+15\n")
	put(t, ".", "m.json", `{"name": "m", "movement": {"full_scale": "1 mA", "coil": "25 ohm"}, "class": 2,
 "circuits": [{"circuit": "shunt", "range": "100 mA", "fitted": "S1"}]}`)
	var answer predict.Answer
	answered(t, &answer, words("predict m.json --temperature 30C")...)
	if got := *answer.Ranges[0].FullScaleError; math.Abs(got+3.730694) > 5e-7 {
		t.Errorf("%v %% at 30 °C, want -3.730694", got)
	}
	answered(t, &answer, words("predict m.json --from 10C --to 30C")...)
	points := answer.Temperature[0].Points
	if last := points[len(points)-1]; last.Celsius != 30 || math.Abs(*last.Error+3.730694) > 5e-7 {
		t.Errorf("%+v, want -3.730694 %% at 30 °C", last)
	}
	if middle := points[len(points)/2]; middle.Celsius != 20 || math.Abs(*middle.Error) > 1e-9 {
		t.Errorf("%+v, want no error at the reference", middle)
	}
	swamp := answer.Temperature[0].SwampOhms
	if swamp == nil {
		t.Fatal("no swamping resistor is named")
	}
	// With that swamping resistor and the shunt on its new target the range
	// stands at the class: a way through the files that knows nothing of the first.
	put(t, ".", "swamped.json", fmt.Sprintf(`{"name": "m", "movement": {"full_scale": "1 mA", "coil": "25 ohm", "swamp": "%.12g ohm"},
 "circuits": [{"circuit": "shunt", "range": "100 mA", "fitted": "%.12g ohm"}]}`, *swamp, (25+*swamp)/99))
	for _, celsius := range []string{"10C", "30C"} {
		answered(t, &answer, words("predict swamped.json --temperature "+celsius)...)
		if got := math.Abs(*answer.Ranges[0].FullScaleError); got > 2+1e-6 || got < 1.8 {
			t.Errorf("with %v ohm in series ±%v %% at %s, want the class of 2", *swamp, got, celsius)
		}
	}
}

// The swamping resistor that is named suffices from the coldest to the warmest
// temperature asked about, and is no larger. With a coil that is d ohm larger there,
// and a shunt of N times the current, the movement takes N·R/(N·R + (N-1)·d) of its
// full scale, R being coil and swamp at 20 °C.
func TestSwampForTemperaturesAskedAbout(t *testing.T) {
	t.Chdir(t.TempDir())
	put(t, ".", "m.json", `{"movement": {"full_scale": "1 mA", "coil": "100 ohm", "swamp": "30 ohm"}, "class": 2.5,
 "circuits": [{"circuit": "shunt", "range": "10 mA", "fitted": "14.44 ohm"}]}`)
	for asked, off := range map[string]struct{ kelvin, error float64 }{
		"--from 0C --to 45C":   {25, -0.025},
		"--from 15C --to 45C":  {25, -0.025},
		"--from -20C --to 25C": {-40, 0.025},
	} {
		var answer predict.Answer
		answered(t, &answer, words("predict m.json "+asked)...)
		want := -(1+off.error)*9*0.393*off.kelvin/10/off.error - 100
		if got := answer.Temperature[0].SwampOhms; got == nil || math.Abs(*got-want) > 1e-6 {
			t.Errorf("%s: %v ohm, want %v", asked, number(got), want)
		}
		if said := strings.Join(answer.Assumptions, "; "); !strings.Contains(said, "not changing with temperature (no tempco_ppm): swamp") {
			t.Errorf("%s: nothing is said of the swamping resistor: %s", asked, said)
		}
	}
}

// A multimeter with a five-range ring and a five-range chain plans from one
// drawer to its proven joint optimum; a second reckoning with the ring's and the
// chain's formulas gives the errors again.
func TestPlanMultimeter(t *testing.T) {
	t.Chdir(t.TempDir())
	do(t, "demo --write .")
	do(t, `meter new multi.json --full-scale "500 µA" --coil 186.4 --ring "2.5 mA,10 mA,50 mA,100 mA,250 mA" --chain "2.5 V,10 V,50 V,100 V,250 V"`)
	var answer planAnswer
	answered(t, &answer, words("plan multi.json")...)
	if len(*answer.Open) != 0 || !*answer.Proven || *answer.BoundPercent != *answer.Worst {
		t.Fatalf("open %v, proven %v, bound %v, worst %v", *answer.Open, *answer.Proven, *answer.BoundPercent, *answer.Worst)
	}
	ohms := map[string]float64{}
	for _, p := range answer.Positions {
		ohms[p.Position] = *p.Ohms
	}
	const coil, full = 186.4, 500e-6
	ring := []float64{2.5e-3, 10e-3, 50e-3, 100e-3, 250e-3}
	names := strings.Split("2.5 mA,10 mA,50 mA,100 mA,250 mA", ",")
	loop, tap := coil, 0.0
	for _, name := range names {
		loop += ohms["ring "+name]
	}
	for i := len(ring) - 1; i >= 0; i-- {
		tap += ohms["ring "+names[i]]
		if want, got := 100*(ring[i]*tap/loop/full-1), *answer.Ranges[i].FullScaleError; math.Abs(want-got) > 1e-9 {
			t.Errorf("%s: %v %%, the formula says %v", names[i], got, want)
		}
	}
}

func TestRoundUp(t *testing.T) {
	for _, test := range []struct {
		limit  float64
		digits int
		want   float64
	}{
		{0.1 + 0.2, 6, 0.3}, {0.7 + 0.1, 6, 0.8}, {1.1 + 2.2, 2, 3.3}, {1.5, 6, 1.5}, {0, 6, 0},
		{1.00000049, 6, 1.00001}, {0.1234561, 6, 0.123457}, {0.00184, 2, 0.0019}, {9.99, 2, 10}, {100, 2, 100}, {1234567, 2, 1300000},
	} {
		if got := roundUp(test.limit, test.digits); got != test.want {
			t.Errorf("roundUp(%v, %d) = %v, want %v", test.limit, test.digits, got, test.want)
		}
	}
	for k := range 10000 {
		limit := math.Pow(10, float64(k%12)-6) * (1 + float64(k)/1000)
		if got := roundUp(limit, 3); got < limit*(1-1e-11) || got > limit*1.0101 {
			t.Fatalf("roundUp(%v, 3) = %v", limit, got)
		}
	}
}
