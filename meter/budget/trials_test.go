package budget

import (
	"math"
	"os"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"
)

// run draws a model that must not fail.
func run(t *testing.T, m Model, trials int, seed uint64) *Distribution {
	t.Helper()
	d, err := Run(t.Context(), m, trials, seed)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// sumOf is the additive model Y = X1 + X2 + … of rectangular inputs about 0,
// whose standard deviations are given.
func sumOf(deviations ...float64) Model {
	m := Model{Results: 1, Outcome: func(values, dst []float64) { dst[0] = floats.Sum(values) }}
	for _, deviation := range deviations {
		m.Inputs = append(m.Inputs, floor("X", 1, deviation))
	}
	return m
}

// closeTo fails unless got is within four standard errors of want.
func closeTo(t *testing.T, what string, got, want, standardError float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 4*standardError) {
		t.Errorf("%s: %g, want %g ± 4·%.2g", what, got, want, standardError)
	}
}

// Four rectangular inputs of standard deviation 1 added up: the 95 % interval
// is ±2√3·(2 - (3/5)^¼) = ±3.879406741, printed ±3.88, where the normal
// distribution has ±3.92, which the standard finds validated to two digits;
// source: JCGM 101:2008, 9.2.3, from memory, the limit recomputed. The density
// at the limit is 0.0328.
func TestFourRectangles(t *testing.T) {
	trials := 1_000_000
	if os.Getenv("SHUNTWRIGHT_SLOW") != "" {
		trials = 10_000_000
	}
	m := sumOf(1, 1, 1, 1)
	d := run(t, m, trials, 1)
	s, root := d.Summary(0), math.Sqrt(float64(trials))
	limit := 2 * math.Sqrt(3) * (2 - math.Pow(0.6, 0.25))
	standardError := math.Sqrt(0.025*0.975) / root / 0.0328
	closeTo(t, "low", s.Low, -limit, standardError)
	closeTo(t, "high", s.High, limit, standardError)
	closeTo(t, "mean", s.Mean, 0, 2/root)
	closeTo(t, "standard deviation", s.StandardDeviation, 2, 1/root) // less for short tails
	if 3.92-max(s.High, -s.Low) < 4*standardError {
		t.Errorf("%g to %g is not told from ±3.92", s.Low, s.High)
	}
	closeTo(t, "within the exact limit", d.Within(0, limit), 0.95, math.Sqrt(0.05*0.95)/root)

	c := d.Compare(0, Combine(Sources(m.Inputs)))
	if c.Delta != 0.05 || !c.Validated {
		t.Errorf("%+v, want validated within 0.05", c)
	}
	if math.Abs(c.StandardError/standardError-1) > 0.2 {
		t.Errorf("standard error of the limits %g, want about %g", c.StandardError, standardError)
	}
}

// One of four rectangles ten times as wide: ±17.0, where 1.96 makes ±19.9,
// not validated; source: JCGM 101:2008, 9.2.4, from memory. The dominance rule
// of EA-4/02 makes ±16.7.
func TestOneWideRectangle(t *testing.T) {
	m := sumOf(1, 1, 1, 10)
	d := run(t, m, 200_000, 1)
	s := d.Summary(0)
	closeTo(t, "low", s.Low, -17.0, 0.03)
	closeTo(t, "high", s.High, 17.0, 0.03)
	linear := Combine(Sources(m.Inputs))
	if c := d.Compare(0, linear); c.Delta != 0.5 || !c.Validated || !c.Settled {
		t.Errorf("±%g: %+v, want validated within 0.5", linear.Limit, c)
	}
	linear.Limit = normalFactor * linear.Standard
	if c := d.Compare(0, linear); c.Validated || !c.Settled || math.Abs(c.High-2.9) > 0.1 || math.Abs(c.Low-2.9) > 0.1 {
		t.Errorf("±%g: %+v, want not validated, by 2.9", linear.Limit, c)
	}
}

// Many rectangles add up to a normal distribution (GUM G.2, central limit
// theorem); 48 of them differ from it by 0.0002 of probability at most.
func TestManyRectanglesAreNormal(t *testing.T) {
	const inputs, trials = 48, 100_000
	d := run(t, sumOf(slices.Repeat([]float64{1}, inputs)...), trials, 3)
	normal := distuv.Normal{Sigma: math.Sqrt(inputs)}
	for _, k := range []float64{1, 1.645, 1.96, 2.576, 3} {
		p := 1 - 2*normal.CDF(-k*normal.Sigma)
		closeTo(t, "within k·u", d.Within(0, k*normal.Sigma), p, 5e-5+math.Sqrt(p*(1-p)/trials))
	}
	s := d.Summary(0)
	closeTo(t, "low", s.Low, normal.Quantile(0.025), 0.01*normal.Sigma)
	closeTo(t, "high", s.High, normal.Quantile(0.975), 0.01*normal.Sigma)
}

func TestFewTrialsSettleNothing(t *testing.T) {
	m := sumOf(1, 1, 1, 1)
	if c := run(t, m, 100, 1).Compare(0, Combine(Sources(m.Inputs))); c.Settled || c.StandardError < 0.1 {
		t.Errorf("%+v, want nothing settled", c)
	}
}

// The square of a rectangle about 0 has no slope, so that the linear limit is
// nothing; exact: P(X² ≤ q) = √q, mean 1/3, variance 4/45.
func TestSquare(t *testing.T) {
	m := Model{Inputs: []Input{{Name: "X", Floor: 1}}, Results: 2, Outcome: func(values, dst []float64) {
		dst[0] = values[0] * values[0]
		dst[1] = -dst[0]
	}}
	const trials = 100_000
	d := run(t, m, trials, 5)
	s := d.Summary(0)
	closeTo(t, "low", s.Low, 0.025*0.025, 2*0.025*0.0005)
	closeTo(t, "high", s.High, 0.975*0.975, 2*0.975*0.0005)
	closeTo(t, "mean", s.Mean, 1./3, math.Sqrt(4./45/trials))
	closeTo(t, "standard deviation", s.StandardDeviation, math.Sqrt(4./45), 0.001)
	if c := d.Compare(0, Combine(Sources(m.Inputs))); s.Nominal != 0 || c.Validated || c.Delta != 0 {
		t.Errorf("nominal %g, %+v, want 0 and not validated", s.Nominal, c)
	}
	oneEnd := Result{Standard: 0.3, Limit: 0.95}
	if c := d.Compare(0, oneEnd); c.Validated || c.High > c.Delta || c.Low < 0.9 {
		t.Errorf("%+v, want the upper limit only", c)
	}
	if c := d.Compare(1, oneEnd); c.Validated || c.Low > c.Delta || c.High < 0.9 {
		t.Errorf("%+v, want the lower limit only", c)
	}
}

// values has every drawn value as a result.
func values(inputs ...Input) Model {
	return Model{Inputs: inputs, Results: len(inputs), Outcome: func(values, dst []float64) { copy(dst, values) }}
}

func TestSharedGainIsOneDraw(t *testing.T) {
	errorsBy := func(shared string) Model {
		m := values(Input{Value: 1000, GainPercent: 1, Shared: shared}, Input{Value: 10, GainPercent: 2, Shared: shared})
		m.Outcome = func(values, dst []float64) {
			dst[0], dst[1] = 100*(values[0]/1000-1), 50*(values[1]/10-1)
			if shared != "" && math.Abs(dst[0]-dst[1]) > 1e-12 {
				t.Fatalf("errors of %g and %g parts of their limits by one gain", dst[0], dst[1])
			}
		}
		return m
	}
	const trials = 40_000
	one, own := run(t, errorsBy("bridge"), trials, 7), run(t, errorsBy(""), trials, 7)
	for r := range 2 {
		closeTo(t, "one within half its limit", one.Within(r, 0.5), 0.5, 0.5/math.Sqrt(trials))
		closeTo(t, "one of two gains", own.Within(r, 0.5), 0.5, 0.5/math.Sqrt(trials))
	}
	closeTo(t, "both, by one gain", one.AllWithin(0.5), 0.5, 0.5/math.Sqrt(trials))
	closeTo(t, "both, each by its own", own.AllWithin(0.5), 0.25, math.Sqrt(0.25*0.75/trials))
}

// A shunted meter that one instrument measured keeps its range whatever the
// gain is, and two instruments make it uncertain as the linear budget says.
func TestShuntedMeterInTrials(t *testing.T) {
	model := func(shuntBy, coilBy string) Model {
		return Model{Inputs: shunted(0.8, shuntBy, coilBy), Results: 1, Outcome: func(v, dst []float64) {
			dst[0] = 100 * ((1+v[1]/v[0])*100e-6/100e-3 - 1)
		}}
	}
	if s := run(t, model("hand meter", "hand meter"), 1000, 1).Summary(0); s.High-s.Low > 1e-12 {
		t.Errorf("one meter: from %g to %g, want no spread", s.Low, s.High)
	}
	m := model("hand meter", "bridge")
	const trials = 100_000
	d, linear := run(t, m, trials, 1), Combine(Sources(m.Inputs))
	closeTo(t, "standard deviation", d.Summary(0).StandardDeviation, linear.Standard, linear.Standard/math.Sqrt(2*trials))
	// Two rectangles make a triangle: 2·0.8·0.999 %·(1 - √0.05).
	closeTo(t, "high", d.Summary(0).High, 1.6*0.999*(1-math.Sqrt(0.05)), 0.008)
	if c := d.Compare(0, linear); c.Delta != 0.005 || c.Validated || !c.Settled {
		t.Errorf("%+v, want ±%g not validated", c, linear.Limit)
	}
}

// A result that is not a number in a single trial has no distribution, and no
// trial of that kind counts as within anything.
func TestTrialWithoutResult(t *testing.T) {
	trial := 0
	m := values(Input{}, Input{})
	m.Outcome = func(_, dst []float64) {
		dst[0], dst[1] = 0, 0
		if trial == 10 {
			dst[1] = math.NaN()
		}
		trial++
	}
	d := run(t, m, 100, 1)
	s := d.Summary(1)
	for _, x := range []float64{s.Mean, s.StandardDeviation, s.Low, s.High} {
		if !math.IsNaN(x) {
			t.Errorf("%+v, want NaN", s)
		}
	}
	if c := d.Compare(1, Result{Standard: 1, Limit: 2}); c.Validated || c.Settled {
		t.Errorf("%+v, want nothing validated", c)
	}
	if got := []float64{d.Within(0, 0), d.Within(1, 0), d.AllWithin(0)}; !slices.Equal(got, []float64{1, 0.99, 0.99}) {
		t.Errorf("within: %v", got)
	}
}

// Half a unit of the second digit: 35·10⁻⁵ g makes 0.000 005 g; source: JCGM
// 101:2008, 7.9.2, example 1, from memory.
func TestDelta(t *testing.T) {
	for standard, want := range map[float64]float64{
		0.00035: 0.000005, 2: 0.05, 10.149: 0.5, 0.0994: 0.0005, 0.0996: 0.005, 0.0995001: 0.005, 99.4: 0.5, 99.6: 5, 0: 0,
	} {
		near(t, "delta", delta(standard), want)
	}
	for _, standard := range []float64{math.NaN(), math.Inf(1), -1} {
		if got := delta(standard); !math.IsNaN(got) {
			t.Errorf("delta(%g) = %g, want NaN", standard, got)
		}
	}
}

func BenchmarkRun(b *testing.B) {
	m := sumOf(1, 1, 1, 1)
	for b.Loop() {
		if _, err := Run(b.Context(), m, 100_000, 1); err != nil {
			b.Fatal(err)
		}
	}
}
