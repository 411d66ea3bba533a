package reading_test

import (
	"math/rand/v2"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/reading"
)

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
