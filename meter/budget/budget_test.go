package budget

import (
	"math"
	"testing"
)

// floor is an input whose standard uncertainty is given: √3 of it is the
// half-width of the rectangle.
func floor(name string, slope, standard float64) Input {
	return Input{Name: name, Slope: slope, Floor: math.Sqrt(3) * standard}
}

// near fails unless got is want but for rounding errors of float64.
func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-13*math.Abs(want)) {
		t.Errorf("%s: %.17g, want %.17g", what, got, want)
	}
}

// tenResistors are ten of 1000 Ω in series that were compared with the same
// standard of 1000 Ω, u = 100 mΩ.
func tenResistors(standard string) []Input {
	inputs := make([]Input, 10)
	for i := range inputs {
		inputs[i] = Input{Value: 1000, Slope: 1, GainPercent: math.Sqrt(3) * 0.01, Shared: standard}
	}
	return inputs
}

func TestPublishedStandardUncertainties(t *testing.T) {
	// dR/dRi of two in parallel: (R/Ri)², R = 100/3 Ω.
	parallel := []Input{floor("100 Ω", 1./9, 0.1), floor("50 Ω", 4./9, 0.03)}
	tests := []struct {
		source  string
		inputs  []Input
		want    float64
		printed float64 // and half a unit of its last digit
		within  float64
	}{
		{"GUM 5.1.5, µV", []Input{floor("voltmeter", 1, 12), floor("repeated readings", 1, 8.7)}, math.Hypot(12, 8.7), 15, 0.5},
		{"GUM 5.2.2, ten resistors with one standard, Ω", tenResistors("standard"), 1, 1, 1e-9},
		{"GUM 5.2.2, the same with the correlation ignored, Ω", tenResistors(""), math.Sqrt(0.1), 0.32, 0.005},
		{"textbook example, 100 ± 0.1 Ω and 50 ± 0.03 Ω in series (BAKS Ex 2.10 p 2.39)", []Input{floor("100 Ω", 1, 0.1), floor("50 Ω", 1, 0.03)}, 0.1044030650891055, 0.1044, 5e-5},
		{"the same in parallel (BAKS Ex 2.10 p 2.39)", parallel, 0.01735611039090368, 0.01736, 5e-6},
	}
	for _, test := range tests {
		got := Combine(Sources(test.inputs))
		near(t, test.source, got.Standard, test.want)
		near(t, test.source+": limit", got.Limit, got.Factor*test.want)
		if math.Abs(got.Standard-test.printed) > test.within {
			t.Errorf("%s: %g, printed %g", test.source, got.Standard, test.printed)
		}
	}
}

// Resistors Ri = αi·Rs that were compared with one standard are correlated by
// r = 1/(1 + (u(α)/α)²/(u(Rs)/Rs)²); source: GUM F.1.2.3, from memory. Here the
// ratios' share is a floor, the standard's a shared gain.
func TestPartialCorrelation(t *testing.T) {
	for _, ratio := range []float64{0.1, 0.5, 1, 3} { // of u(α)/α to u(Rs)/Rs
		standard, own := 0.1, 0.1*ratio // Ω of 1000 Ω
		one := math.Hypot(standard, own)
		r := 1 / (1 + ratio*ratio)
		for _, sign := range []float64{1, -1} {
			inputs := []Input{floor("R1", 1, own), floor("R2", sign, own)}
			for i := range inputs {
				inputs[i].Value, inputs[i].GainPercent, inputs[i].Shared = 1000, math.Sqrt(3)*standard/10, "standard"
			}
			want := one * math.Sqrt(2+2*sign*r)
			near(t, "sum or difference", Combine(Sources(inputs)).Standard, want)
		}
	}
}

// Equal relative errors of all parts of a network are the network's: two of
// ±5 % in parallel are ±5 %, where the book adds up to ±15 %; source: BAKS
// Ex 2.17 p 2.44, a known error, against R being homogeneous of degree 1.
func TestParallelOfOneGain(t *testing.T) {
	r := 36 * 75 / (36. + 75)
	var inputs []Input
	for _, ohms := range []float64{36, 75} {
		inputs = append(inputs, Input{Value: ohms, Slope: r / ohms * r / ohms, GainPercent: 5, Shared: "hand meter"})
	}
	sources := Sources(inputs)
	if len(sources) != 1 || sources[0].Name != "hand meter" || !sources[0].Gain {
		t.Fatalf("%+v, want one gain of the hand meter", sources)
	}
	near(t, "Ω", sources[0].Half, 1.2162162162162162)
	near(t, "percent", 100*sources[0].Half/r, 5)
}

// shunted is how a range of a shunted meter depends on shunt and coil, in
// percent: ∂lnI/∂lnRs = -(n-1)/n, ∂lnI/∂lnRm = (n-1)/n, n = 1 + Rm/Rs; from
// I = Im·(1 + Rm/Rs). Meter: BELL Ex 3-4 p 43, 100 µA and 1 kΩ for 100 mA.
func shunted(gain float64, shuntBy, coilBy string) []Input {
	rm, rs := 1000., 1.001001001001001
	n := 1 + rm/rs
	return []Input{
		{Name: "R1", Value: rs, Slope: -100 * (n - 1) / n / rs, GainPercent: gain, Shared: shuntBy},
		{Name: "coil", Value: rm, Slope: 100 * (n - 1) / n / rm, GainPercent: gain, Shared: coilBy},
	}
}

func TestCommonGainOfShuntAndCoilCancels(t *testing.T) {
	for _, gain := range []float64{0.05, 0.1, 0.3, 0.5, 0.7, 0.8, 1.1, 3} {
		if sources := Sources(shunted(gain, "hand meter", "hand meter")); len(sources) != 0 {
			t.Errorf("one meter of ±%g %%: %+v, want nothing", gain, sources)
		}
	}
	rounded := []Input{{Value: 0.1, Slope: 1}, {Value: 0.2, Slope: 1}, {Value: 0.3, Slope: -1}} // 0.1 + 0.2 - 0.3 is not 0 in float64
	for i := range rounded {
		rounded[i].GainPercent, rounded[i].Shared = 100, "hand meter"
	}
	if sources := Sources(rounded); len(sources) != 0 {
		t.Errorf("rounding errors: %+v, want nothing", sources)
	}
	near(t, "two meters", Combine(Sources(shunted(0.8, "hand meter", "bridge"))).Standard, 0.8*0.999*math.Sqrt(2./3))
	near(t, "their own", Combine(Sources(shunted(0.8, "", ""))).Standard, 0.8*0.999*math.Sqrt(2./3))

	inputs := shunted(0.8, "hand meter", "hand meter")
	inputs[0].GainPercent = 1 // leads were subtracted: the difference is left
	near(t, "different gains", Sources(inputs)[0].Half, 0.2*0.999)
}

// Where the others together are at most 0.3 of the largest rectangle, that one
// sets the shape; source: EA-4/02, S9.14.
func TestCoverageFactor(t *testing.T) {
	above := math.Nextafter(0.3, 1)
	tests := []struct {
		name  string
		halfs []float64
		want  float64
	}{
		{"one", []float64{7}, 1.65},
		{"at the boundary", []float64{1, 0.3}, 1.65},
		{"at the boundary, the largest last", []float64{0.3, 1}, 1.65},
		{"just above", []float64{1, above}, 1.96},
		{"just above, the largest last", []float64{above, 1}, 1.96},
		{"others together below", []float64{0.17, 1, 0.24}, 1.65},
		{"others together above", []float64{0.19, 1, 0.24}, 1.96},
		{"two alike", []float64{1, 1}, 1.96},
		{"far below 1", []float64{1e-200, 0.2e-200}, 1.65},
		{"far above 1", []float64{1e200, 0.4e200}, 1.96},
	}
	for _, test := range tests {
		var sources []Source
		sum := 0.0
		for _, half := range test.halfs {
			sources = append(sources, Source{Half: half})
			sum = math.Hypot(sum, half)
		}
		got := Combine(sources)
		if got.Factor != test.want {
			t.Errorf("%s: factor %g, want %g", test.name, got.Factor, test.want)
		}
		near(t, test.name, got.Limit, test.want*sum/math.Sqrt(3))
	}
}

func TestSharesAddUpToOne(t *testing.T) {
	inputs := append(shunted(0.8, "hand meter", "bridge"), floor("R1", 3, 0.2), floor("coil", -7, 0.05),
		Input{Name: "full-scale current", Value: 1e-4, Slope: 1e6, GainPercent: 1})
	sources := Sources(inputs)
	result := Combine(sources)
	sum := 0.0
	for _, s := range sources {
		sum += result.Share(s)
	}
	near(t, "sum of shares", sum, 1)
	if got := len(sources); got != 5 {
		t.Errorf("%d sources, want 5", got)
	}
	near(t, "share of a floor", result.Share(sources[2]), 0.36/(result.Standard*result.Standard))
}

func TestNothingUncertain(t *testing.T) {
	for _, sources := range [][]Source{nil, {}, {{Name: "R1"}}, Sources([]Input{{Name: "R1", Value: 10, Slope: 1, Shared: "bridge"}})} {
		got := Combine(sources)
		if got.Limit != 0 || got.Standard != 0 || !math.IsNaN(got.Factor) || !math.IsNaN(got.Share(Source{})) {
			t.Errorf("%v: %+v, want zeros and no factor", sources, got)
		}
	}
}

func TestUnknownSlope(t *testing.T) {
	for slope, unlimited := range map[float64]func(float64) bool{
		math.NaN():  math.IsNaN,
		math.Inf(1): func(x float64) bool { return math.IsInf(x, 1) },
	} {
		got := Combine(Sources([]Input{{Value: 10, Slope: slope, GainPercent: 1}, floor("R2", 1, 1)}))
		if !unlimited(got.Limit) {
			t.Errorf("slope %g: %+v", slope, got)
		}
	}
}
