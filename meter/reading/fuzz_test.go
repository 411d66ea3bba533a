package reading_test

import (
	"fmt"
	"log"
	"math"
	"math/rand/v2"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// numbers gives out a few numbers over and over.
type numbers struct {
	of []float64
	n  int
}

func (n *numbers) next() float64 {
	n.n++
	return n.of[n.n%len(n.of)]
}

// FuzzDiagnose: no numbers make it panic, in readings, resistances or doubts,
// and what promises to be a number is one.
func FuzzDiagnose(f *testing.F) {
	f.Add(uint64(1), uint8(4), 1e-3, 0.0, 1e-5, 1.0)
	f.Add(uint64(2), uint8(9), math.NaN(), math.Inf(1), -1.0, math.MaxFloat64)
	f.Add(uint64(3), uint8(30), 0.5, 1e300, 1e-300, math.SmallestNonzeroFloat64)
	f.Fuzz(func(t *testing.T, seed uint64, count uint8, a, b, c, d float64) {
		r, in := rand.New(rand.NewPCG(seed, 1)), numbers{of: []float64{a, b, c, d}}
		m, st := randomMeter(t, r)
		if r.IntN(2) == 0 {
			st.Ohms[r.IntN(len(st.Ohms))] = in.next()
		}
		var rds []reading.Reading
		for range count % 40 {
			rng := r.IntN(len(m.Ranges()))
			full := m.Ranges()[rng].FullScale
			rd := reading.Reading{Range: rng, Reference: r.Float64() * full, Indicated: r.Float64() * full, IndicatedLimit: limit * full, Direction: reading.Direction(r.IntN(3))}
			switch r.IntN(6) {
			case 0:
				rd.Reference = in.next() * full
			case 1:
				rd.Indicated = in.next() * full
			case 2:
				rd.IndicatedLimit = in.next() * full
			case 3:
				rd.ReferenceLimit = in.next() * full
			}
			rds = append(rds, rd)
		}
		var doubts [][]float64
		if r.IntN(2) == 0 {
			doubts = [][]float64{{in.next(), in.next()}, {in.next(), 1, -1}}
		}
		j := reading.Judge(m.Ranges(), rds, in.next(), r.IntN(2) == 0)
		found := reading.Diagnose(reading.Case{Meter: m, State: st, Readings: rds, Doubts: doubts, Divisions: in.next(), Verdict: j.Verdict})
		promises(t, m, found, len(rds))
	})
}

// promises holds a diagnosis to its comments.
func promises(t *testing.T, m *meter.Meter, d reading.Diagnosis, count int) {
	if !d.Wrong && len(d.Explanations) > 0 {
		t.Errorf("explanations of what is not wrong: %+v", d)
	}
	for i, e := range d.Explanations {
		if n := len(e.Amounts); n < 1 || e.Explains && len(e.Unexplained) > 0 || !(e.ChiSquare >= 0) || math.IsInf(e.ChiSquare, 1) || !(e.Score >= 0 && e.Score <= 1) || len(e.State.Ohms) != len(m.Resistors()) {
			t.Errorf("explanation %d: %+v", i, e)
		}
		for _, a := range e.Amounts {
			part := a.Cause.Kind == reading.Resistance || a.Cause.Kind == reading.FullScale || a.Cause.Kind == reading.Friction
			if math.IsNaN(a.Implied) || part && a.Implied < 0 || math.IsNaN(a.From) || a.Limit < 0 || math.IsInf(a.Limit, 0) || a.Cause.Name == "" {
				t.Errorf("amount: %+v", a)
			}
		}
	}
	for _, c := range d.Contradictions {
		if c.First < 0 || c.First >= c.Second || c.Second >= count {
			t.Errorf("contradiction: %+v", c)
		}
	}
	if d.Next == nil {
		return
	}
	full := m.Ranges()[d.Next.Range].FullScale
	if d.Next.Reference < 0 || d.Next.Reference > full || len(d.Next.Predicted) < 2 {
		t.Errorf("next: %+v", d.Next)
	}
	for _, p := range d.Next.Predicted {
		if p.Indicated > full*(1+1e-6) || p.Explanation < 0 || p.Explanation >= len(d.Explanations) {
			t.Errorf("prediction: %+v", p)
		}
	}
}

// large is the largest of some random meters, with so many faults in it and
// nearly 200 readings: every pair of causes is fitted.
func large(b *testing.B, faults int) reading.Case {
	r := rand.New(rand.NewPCG(4, 4))
	var m *meter.Meter
	var st meter.State
	for range 200 {
		if next, state := randomMeter(b, r); m == nil || len(next.Resistors()) > len(m.Resistors()) {
			m, st = next, state
		}
	}
	bad := st
	for k := range faults {
		part := m.Positions()[k*len(m.Positions())/faults].Resistor
		bad = bad.With(part, bad.Ohms[part]*1.2)
	}
	var rds []reading.Reading
	for len(rds) < 200-4*len(m.Ranges()) {
		rds = append(rds, readers[0].calibrate(r, m, fault{state: bad}, true)...)
	}
	b.Logf("%d resistors, %d ranges, %d readings", len(m.Resistors()), len(m.Ranges()), len(rds))
	return reading.Case{Meter: m, State: st, Readings: rds, Divisions: divisions, Verdict: reading.Fail}
}

func BenchmarkDiagnosePairs(b *testing.B) {
	c := large(b, 2)
	for b.Loop() {
		if d := reading.Diagnose(c); len(d.Explanations) == 0 || len(d.Explanations[0].Amounts) != 2 {
			b.Fatal("no pair was needed")
		}
	}
}

func BenchmarkDiagnoseSeveral(b *testing.B) {
	c := large(b, 5)
	for b.Loop() {
		if d := reading.Diagnose(c); len(d.Explanations[0].Amounts) != 5 || !d.Explanations[0].Explains {
			b.Fatal("not the five causes")
		}
	}
}

// A voltmeter of two ranges reads true on 10 V and low on 100 V: the upper
// section of its chain has risen by a quarter.
func ExampleDiagnose() {
	var ranges []meter.Range
	for _, text := range []string{"10 V", "100 V"} {
		r, err := meter.ParseRange(text, math.NaN())
		if err != nil {
			log.Fatal(err)
		}
		ranges = append(ranges, r)
	}
	chain, err := meter.NewCircuit("chain", meter.Spec{Ranges: ranges})
	if err != nil {
		log.Fatal(err)
	}
	m, err := meter.New("voltmeter", meter.NewMovement(1e-3, 100), 2, []meter.Circuit{chain})
	if err != nil {
		log.Fatal(err)
	}
	readings := []reading.Reading{
		{Range: 0, Reference: 8, Indicated: 8, IndicatedLimit: 0.04},
		{Range: 1, Reference: 80, Indicated: 65.3, IndicatedLimit: 0.4},
	}
	judged := reading.Judge(m.Ranges(), readings, m.Class, false)
	found := reading.Diagnose(reading.Case{Meter: m, State: m.State([]float64{9900, 90000}), Readings: readings, Divisions: 50, Verdict: judged.Verdict})
	best := found.Explanations[0]
	fmt.Printf("%v: %s is %.0f ± %.0f ohm and should be %.0f\n",
		judged.Verdict, best.Amounts[0].Cause.Name, best.Amounts[0].Implied, best.Amounts[0].Limit, best.Amounts[0].From)
	// Output: fail: chain 100 V is 112511 ± 849 ohm and should be 90000
}
