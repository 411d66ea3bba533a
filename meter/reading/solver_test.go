package reading_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// slopes are the readings' derivatives by a resistance, from the meter's exact
// sensitivities.
func slopes(m *meter.Meter, st meter.State, resistor int, rds []reading.Reading) []float64 {
	sensitivities := m.Sensitivities(st)
	out := make([]float64, len(rds))
	for i, rd := range rds {
		shown := fault{state: st}.show(m, rd.Range, rd.Reference/m.Ranges()[rd.Range].FullScale, reading.Either)
		out[i] = shown * sensitivities[rd.Range][resistor].PerOhm / 100
	}
	return out
}

// solve is weighted linear least squares by gonum's solver: changes of the
// resistances, and of chi-square.
func solve(t *testing.T, m *meter.Meter, st meter.State, rds []reading.Reading, resistors ...int) []float64 {
	t.Helper()
	a, b := mat.NewDense(len(rds), len(resistors), nil), mat.NewVecDense(len(rds), nil)
	for k, resistor := range resistors {
		for i, slope := range slopes(m, st, resistor, rds) {
			a.Set(i, k, slope/(rds[i].IndicatedLimit/m.Ranges()[rds[i].Range].FullScale))
		}
	}
	for i, rd := range rds {
		full := m.Ranges()[rd.Range].FullScale
		b.SetVec(i, (rd.Indicated/full-fault{state: st}.show(m, rd.Range, rd.Reference/full, reading.Either))/(rd.IndicatedLimit/full))
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		t.Fatal(err)
	}
	return x.RawVector().Data
}

// Small faults, where the meter is linear, against gonum's solver and the
// meter's exact sensitivities: every single cause that makes a difference, with
// readings of unequal limits and errors of their own.
func TestSmallFaultsAgainstSolver(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	checked := 0
	for range 40 {
		m, st := randomMeter(t, r)
		part := r.IntN(len(st.Ohms))
		rds := readers[0].calibrate(r, m, fault{state: st}, false)
		bad := fault{state: st.With(part, st.Ohms[part]*(1+1e-5))}
		for i := range rds {
			full := m.Ranges()[rds[i].Range].FullScale
			rds[i].IndicatedLimit = full * 1e-7 * (1 + r.Float64())
			rds[i].Indicated = full*bad.show(m, rds[i].Range, rds[i].Reference/full, reading.Either) + rds[i].IndicatedLimit*(2*r.Float64()-1)
		}
		d := reading.Diagnose(reading.Case{Meter: m, State: st, Readings: rds, Divisions: divisions, Verdict: reading.Fail})
		for _, e := range d.Explanations {
			a := e.Amounts[0]
			if len(e.Amounts) != 1 || a.Cause.Kind != reading.Resistance || a.From == 0 || math.IsNaN(a.Limit) {
				continue
			}
			k := a.Cause.Resistor
			want := solve(t, m, st, rds, k)[0]
			if got := a.Implied - a.From; math.Abs(got-want) > 1e-3*math.Abs(want)+1e-9*a.From {
				t.Errorf("%s: changed by %v ohm, the solver says %v", a.Cause.Name, got, want)
			}
			checked++
		}
	}
	if checked < 40 {
		t.Errorf("only %d causes were checked", checked)
	}
}

// Two small faults at once, likewise.
func TestSmallPairsAgainstSolver(t *testing.T) {
	m, st := load(t, "teaching-multimeter")
	r := rand.New(rand.NewPCG(8, 2))
	first, second := 3, 8 // a section of the chain and one of the ring
	bad := fault{state: st.With(first, st.Ohms[first]*(1+2e-5)).With(second, st.Ohms[second]*(1-1e-5))}
	var rds []reading.Reading
	for k, rng := range m.Ranges() {
		for _, fraction := range []float64{0.5, 1} {
			rds = append(rds, reading.Reading{Range: k, Reference: fraction * rng.FullScale, IndicatedLimit: 1e-7 * rng.FullScale,
				Indicated: rng.FullScale * (bad.show(m, k, fraction, reading.Either) + 1e-7*(2*r.Float64()-1))})
		}
	}
	d := reading.Diagnose(reading.Case{Meter: m, State: st, Readings: rds, Divisions: math.NaN(), Verdict: reading.Fail})
	e := d.Explanations[0]
	if len(e.Amounts) != 2 || !e.Explains {
		t.Fatalf("%+v", e)
	}
	want := solve(t, m, st, rds, e.Amounts[0].Cause.Resistor, e.Amounts[1].Cause.Resistor)
	for i, a := range e.Amounts {
		if a.Cause.Resistor != first && a.Cause.Resistor != second {
			t.Errorf("%s is not to blame", a.Cause.Name)
		}
		near(t, a.Cause.Name, a.Implied-a.From, want[i], 1e-3)
	}
}
