package reading_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"shuntwright/meter"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

func one(fullScale float64) []meter.Range {
	return []meter.Range{{Name: "r", FullScale: fullScale, Unit: quantity.Ampere, CircuitVolts: math.NaN()}}
}

// half is the half-width of one rectangular source that makes a limit:
// 1.65·a/√3 (EA-4/02, S9.14).
func half(limit float64) float64 { return limit * math.Sqrt(3) / 1.65 }

// Decision rules with a guard band as wide as the limit, in the units of their
// sources; full scale is chosen so that the tolerance is a class.
func TestVerdictOfPublishedExamples(t *testing.T) {
	for _, test := range []struct {
		source              string
		fullScale, class, u float64 // u: expanded uncertainty
		deviation           float64
		want                reading.Verdict
	}{
		{"micrometer, ISO 14253: MPE 0.003 mm, U 0.001: accept", 0.1, 3, 0.001, 0.0017, reading.Pass},
		{"the same: acceptance limit 0.002", 0.1, 3, 0.001, 0.002, reading.Pass},
		{"the same: neither proven conforming nor non-conforming", 0.1, 3, 0.001, 0.0025, reading.Undecided},
		{"the same, below zero", 0.1, 3, 0.001, -0.0025, reading.Undecided},
		{"the same: up to 0.004", 0.1, 3, 0.001, 0.004, reading.Undecided},
		{"the same: beyond", 0.1, 3, 0.001, -0.0041, reading.Fail},
		{"10 ± 1, U 0.2: acceptance limit 10.8", 10, 10, 0.2, 0.8, reading.Pass},
		{"the same: beyond it", 10, 10, 0.2, 0.8001, reading.Undecided},
		{"IEC 60051-9, class 2 and U 0.4 % of full scale: guarded limit 1.6 %", 1, 2, 0.004, 0.016, reading.Pass},
		{"the same: beyond it", 1, 2, 0.004, 0.01601, reading.Undecided},
		{"the same: proven out", 1, 2, 0.004, -0.02401, reading.Fail},
	} {
		rd := []reading.Reading{{Reference: test.fullScale / 2, Indicated: test.fullScale/2 + test.deviation, IndicatedLimit: half(test.u)}}
		j := reading.Judge(one(test.fullScale), rd, test.class, false)
		if j.Verdict != test.want || j.Ranges[0].Verdict != test.want || j.Ranges[0].Points[0].Verdict != test.want {
			t.Errorf("%s: %v, want %v", test.source, j.Verdict, test.want)
		}
		near(t, test.source, j.Ranges[0].LimitPercent, 100*test.u/test.fullScale, 1e-12)
		near(t, test.source, j.Ranges[0].Ratio, test.class*test.fullScale/test.u/100, 1e-12)
	}
}

// Limits that a class leaves, and simple acceptance at them.
func TestSimpleVerdictOfPublishedLimits(t *testing.T) {
	type row struct {
		source                             string
		fullScale, class, reference, limit float64
	}
	rows := []row{
		{"Bell, Electronic Instrumentation and Measurements, 3-13", 100e-6, 1, 50e-6, 1e-6},
		{"Bakshi, Electronic Instrumentation and Measurements, 2.7", 50, 1, 15, 0.5},
		{"Shinghal, Electrical Measurements & Measuring Instruments, 1.3", 500, 1.5, 150, 7.5},
		{"Bird, Electrical Circuit Theory and Technology, ex. 20", 50, 2, 36.5, 1},
		{"the same", 10, 2, 6.25, 0.2},
		{"47 CFR 73.1215 (a), 28.8 … 31.2 of 60 divisions", 0.3, 2, 0.15, 1.2 / 60 * 0.3},
	}
	for tenth := 1.0; tenth <= 10; tenth++ {
		rows = append(rows, row{fmt.Sprintf("TB 11-6625-648-35, table 3-1, at %v", tenth), 10, 5, tenth, 0.5})
	}
	for _, test := range rows {
		for _, sign := range []float64{1, -1} {
			for _, c := range []struct {
				share float64
				want  reading.Verdict
			}{{1, reading.Pass}, {1.001, reading.Fail}} {
				rd := []reading.Reading{{Reference: test.reference, Indicated: test.reference + sign*c.share*test.limit, IndicatedLimit: test.limit}}
				if got := reading.Judge(one(test.fullScale), rd, test.class, true).Verdict; got != c.want {
					t.Errorf("%s, %v of the limit: %v, want %v", test.source, sign*c.share, got, c.want)
				}
			}
		}
	}
}

// Two limits of one size are normal together; one that is small beside the
// other leaves it rectangular (EA-4/02, S9.14).
func TestLimitOfTwoInstruments(t *testing.T) {
	for _, test := range []struct{ reference, pointer, limit, factor float64 }{
		{0.01, 0.01, 1.96 * math.Sqrt(2.0/3), 1.96},
		{0, 0.01, 1.65 / math.Sqrt(3), 1.65},
		{0.003, 0.01, 1.65 * math.Sqrt(1.09/3), 1.65},
		{0.01, 0.0031, 1.96 * math.Sqrt(1.0961/3), 1.96},
	} {
		rd := []reading.Reading{{Reference: 2, ReferenceLimit: 4 * test.reference, Indicated: 2, IndicatedLimit: 4 * test.pointer}}
		j := reading.Judge(one(4), rd, 2, false).Ranges[0]
		near(t, "limit", j.LimitPercent, test.limit, 1e-12)
		near(t, "factor", j.Factor, test.factor, 0)
	}
}

// A bridge voltmeter's 500 µA movement took 497 µA for its last mark: +0.6036 %
// of the reading, +0.6000 % of full scale.
func TestErrorIsOfFullScale(t *testing.T) {
	m, _ := load(t, "vtvm-movement")
	j := reading.Judge(m.Ranges(), readings(t, m, "vtvm-movement"), m.Class, false)
	r := j.Ranges[0]
	near(t, "error", r.ErrorPercent, 0.6, 1e-9)
	if r.Verdict != reading.Pass || !math.IsNaN(r.ZeroPercent) || !math.IsNaN(r.GainPercent) || !math.IsNaN(r.LinearityPercent) || !math.IsNaN(r.UpDownPercent) {
		t.Errorf("one reading says nothing but its error: %+v", r)
	}
}

// The straight line through random readings against the normal equations solved
// by another routine.
func TestStraightLineAgainstSolver(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 6))
	for range 50 {
		n, full := 3+r.IntN(8), math.Exp(r.NormFloat64())
		a, b := mat.NewDense(n, 2, nil), mat.NewVecDense(n, nil)
		var rds []reading.Reading
		for i := range n {
			x, half := (float64(i)+0.2*r.Float64())/float64(n), 0.001+0.01*r.Float64()
			y := 0.9*x + 0.04*r.Float64() // scattered, and more applied shows more
			rds = append(rds, reading.Reading{Reference: x * full, Indicated: y * full, IndicatedLimit: half * full})
			a.SetRow(i, []float64{1 / half, x / half})
			b.SetVec(i, y/half)
		}
		var line mat.VecDense
		if err := line.SolveVec(a, b); err != nil {
			t.Fatal(err)
		}
		worst := 0.0
		for _, rd := range rds {
			worst = math.Max(worst, 100*math.Abs(rd.Indicated/full-line.AtVec(0)-line.AtVec(1)*rd.Reference/full))
		}
		j := reading.Judge(one(full), rds, 2, false).Ranges[0]
		near(t, "zero", j.ZeroPercent, 100*line.AtVec(0), 1e-9)
		near(t, "gain", j.GainPercent, 100*(line.AtVec(1)-1), 1e-9)
		near(t, "linearity", j.LinearityPercent, worst, 1e-9)
	}
}

// What the points of one range say together.
func TestJudgeOneRange(t *testing.T) {
	at := func(reference, indicated float64, d reading.Direction) reading.Reading {
		return reading.Reading{Reference: reference, Indicated: indicated, IndicatedLimit: 0.04, Direction: d}
	}
	rds := []reading.Reading{
		at(0, 0.05, reading.Either), at(5, 5.0, reading.Up), at(10, 10.1, reading.Up), at(10, 10.27, reading.Down), at(5, 5.1, reading.Down),
		{Range: 1}, {Range: -1},
	}
	j := reading.Judge(one(10), rds, 2.5, false)
	r := j.Ranges[0]
	if len(j.Ranges) != 1 || len(r.Points) != 5 || r.Worst != 3 || r.Points[r.Worst].Reading != 3 || r.Verdict != reading.Undecided || j.Verdict != reading.Undecided {
		t.Errorf("%+v", j)
	}
	near(t, "error", r.ErrorPercent, 2.7, 1e-9)
	near(t, "zero", r.ZeroPercent, 0.5, 1e-9)
	near(t, "up and down", r.UpDownPercent, 1.7, 1e-9)
	rds[4].Indicated = 5.8
	if got := reading.Judge(one(10), rds, 2.5, false); got.Verdict != reading.Fail || got.Ranges[0].Points[0].Verdict != reading.Pass {
		t.Errorf("one point that fails makes the range fail: %+v", got)
	}
	rds[4].Indicated = math.NaN()
	if got := reading.Judge(one(10), rds[4:5], 2.5, true).Verdict; got != reading.Undecided {
		t.Errorf("no number: %v", got)
	}
	none := reading.Judge(one(10), rds, math.NaN(), false)
	if none.Verdict != reading.NoVerdict || !math.IsNaN(none.Ranges[0].Ratio) || none.Verdict.String() != "" {
		t.Errorf("no class: %+v", none)
	}
	if got := reading.Judge(one(10), nil, 2.5, false); got.Verdict != reading.NoVerdict || len(got.Ranges) != 0 {
		t.Errorf("no readings: %+v", got)
	}
	if got := fmt.Sprint(reading.Pass, reading.Fail, reading.Undecided); got != "pass fail undecided" {
		t.Error(got)
	}
}

// Error and limit of a range are of the reading that decides its verdict: a
// further one that is known too poorly to fail, and one off by nothing that is
// known too poorly to pass, are not and are.
func TestWorstPointHasTheVerdict(t *testing.T) {
	at := func(error, limit float64) reading.Reading {
		return reading.Reading{Reference: 0.5, Indicated: 0.5 + error/100, IndicatedLimit: half(limit / 100)}
	}
	for _, test := range []struct {
		name         string
		rds          []reading.Reading
		want         reading.Verdict
		error, limit float64
	}{
		{"fails less far off", []reading.Reading{at(-3, 0.2), at(5, 4)}, reading.Fail, -3, 0.2},
		{"undecided at nothing", []reading.Reading{at(1, 0.2), at(0, 4)}, reading.Undecided, 0, 4},
		{"the larger of two", []reading.Reading{at(1, 0.2), at(-1.5, 0.2), at(0, 1)}, reading.Pass, -1.5, 0.2},
	} {
		j := reading.Judge(one(1), test.rds, 2, false).Ranges[0]
		if j.Verdict != test.want || j.Points[j.Worst].Verdict != test.want {
			t.Errorf("%s: %+v", test.name, j)
		}
		near(t, test.name, j.ErrorPercent, test.error, 1e-9)
		near(t, test.name, j.LimitPercent, test.limit, 1e-9)
	}
}

// The meter fails with any range, and passes with all.
func TestVerdictOfMeter(t *testing.T) {
	ranges := append(one(1), one(1)...)
	judge := func(errors ...float64) reading.Verdict {
		var rds []reading.Reading
		for r, e := range errors {
			rds = append(rds, reading.Reading{Range: r, Reference: 0.5, Indicated: 0.5 + e/100, IndicatedLimit: half(0.005)})
		}
		return reading.Judge(ranges, rds, 2, false).Verdict
	}
	for _, test := range []struct {
		errors []float64
		want   reading.Verdict
	}{
		{[]float64{1, -1}, reading.Pass}, {[]float64{1, -2}, reading.Undecided}, {[]float64{2, 1}, reading.Undecided},
		{[]float64{2, 3}, reading.Fail}, {[]float64{-3, 1}, reading.Fail},
	} {
		if got := judge(test.errors...); got != test.want {
			t.Errorf("errors of %v %%: %v, want %v", test.errors, got, test.want)
		}
	}
}
