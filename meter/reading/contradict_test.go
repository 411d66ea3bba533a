package reading_test

import (
	"math"
	"slices"
	"testing"

	"shuntwright/meter/reading"
)

// A reading that is far off among good ones is left out alone; two that
// contradict each other both; what friction explains is none.
func TestContradictions(t *testing.T) {
	m, st := shunted(t)
	good := points(m, fault{state: st.With(2, st.Ohms[2]*1.1)}, 0)
	good = append(good, point(m, 0, 6e-3, good[0].Indicated*1.5))
	d := diagnose(m, st, append(append([]reading.Reading{{Range: 9}}, good...), point(m, 0, 9e-3, 1e-3)))
	want := []reading.Contradiction{{First: 1, Second: 4}, {First: 2, Second: 4}, {First: 3, Second: 4}}
	if !slices.Equal(d.Contradictions, want) || d.Explanations[0].Amounts[0].Cause.Resistor != 2 {
		t.Errorf("%+v", d)
	}
	d = diagnose(m, st, append(points(m, fault{state: st}, 1), point(m, 0, 5e-3, 4e-3), point(m, 0, 5e-3, 6e-3)))
	if !slices.Equal(d.Contradictions, []reading.Contradiction{{First: 2, Second: 3}}) || d.AsPredicted || !d.Wrong || len(d.Explanations) > 0 {
		t.Errorf("what is left agrees, and nothing more can be said: %+v", d)
	}
	if d := diagnose(m, st, []reading.Reading{point(m, 0, 5e-3, 3e-3), point(m, 0, 5.1e-3, 6e-3)}); len(d.Contradictions) != 1 {
		t.Errorf("a little more applied shows a lot more: %+v", d)
	}
	up, down := point(m, 0, 5e-3, 4.7e-3), point(m, 0, 5e-3, 5.3e-3)
	up.Direction, down.Direction = reading.Up, reading.Down
	if d := diagnose(m, st, []reading.Reading{up, down}); len(d.Contradictions) > 0 {
		t.Errorf("%+v", d)
	}
	up.Direction, down.Direction = reading.Down, reading.Up
	if d := diagnose(m, st, []reading.Reading{up, down}); len(d.Contradictions) != 1 {
		t.Errorf("friction the wrong way round: %+v", d)
	}
}

// A reference that is only roughly known makes readings less of a
// contradiction, and its limit counts with the gain of the range.
func TestReferenceLimit(t *testing.T) {
	m, st := shunted(t)
	a, b := point(m, 0, 5.1e-3, 5e-3), point(m, 0, 5e-3, 5.2e-3)
	if d := diagnose(m, st, []reading.Reading{a, b}); len(d.Contradictions) != 1 {
		t.Errorf("%+v", d)
	}
	a.ReferenceLimit, b.ReferenceLimit = 0.1e-3, 0.1e-3
	if d := diagnose(m, st, []reading.Reading{a, b}); len(d.Contradictions) != 0 {
		t.Errorf("%+v", d)
	}
	rds := points(m, fault{state: st.With(2, st.Ohms[2]*1.1)}, 0)
	limitOf := func() float64 { return diagnose(m, st, rds).Explanations[0].Amounts[0].Limit }
	exact := limitOf()
	for i := range rds {
		rds[i].ReferenceLimit = rds[i].IndicatedLimit / 1.1
	}
	near(t, "limit with a reference as rough as the pointer", limitOf(), exact*math.Sqrt2, 0.02)
}

// What a straight line cannot be drawn through is left out of it, and counts
// for the verdict: 5 and 10 mA that read 5.1 and 10.2 lie on a line of 2 % gain
// whatever is read beside them.
func TestContradictionsLeftOutOfTheLine(t *testing.T) {
	rd := func(reference, indicated float64) reading.Reading {
		return reading.Reading{Reference: reference, Indicated: indicated, IndicatedLimit: 0.04e-3}
	}
	good := []reading.Reading{{Range: 9}, rd(0, 0), rd(5e-3, 5.1e-3), rd(10e-3, 10.2e-3)}
	for _, test := range []struct {
		more    []reading.Reading
		pairs   []reading.Contradiction
		leftOut []int
	}{
		{nil, nil, nil},
		{[]reading.Reading{rd(2e-3, 11e-3)}, []reading.Contradiction{{First: 2, Second: 4}, {First: 3, Second: 4}}, []int{4}},
		{[]reading.Reading{rd(7.5e-3, 7.65e-3), rd(7.5e-3, 8.65e-3)}, []reading.Contradiction{{First: 4, Second: 5}}, []int{4, 5}},
	} {
		j := reading.Judge(one(10e-3), append(slices.Clone(good), test.more...), 3, false).Ranges[0]
		if !slices.Equal(j.Contradictions, test.pairs) || !slices.Equal(j.LeftOut, test.leftOut) {
			t.Errorf("%v contradict, %v left out, want %v and %v", j.Contradictions, j.LeftOut, test.pairs, test.leftOut)
		}
		near(t, "gain", j.GainPercent, 2, 1e-9)
		if !(j.LinearityPercent < 1e-9) || (j.Verdict == reading.Fail) != (test.more != nil) {
			t.Errorf("linearity %v, %v", j.LinearityPercent, j.Verdict)
		}
	}
}

// Two readings at one reference that differ by more than the pointer is read
// to, and by less than what contradicts: friction, of which nobody wrote the
// direction.
func TestUndirected(t *testing.T) {
	m, st := shunted(t)
	worn := st.With(1, st.Ohms[1]*1.03).With(2, st.Ohms[2]*0.97)
	var rds []reading.Reading
	for r, rng := range m.Ranges() {
		for tenths := 2; tenths <= 10; tenths += 2 {
			for _, d := range []reading.Direction{reading.Up, reading.Down} {
				rd := point(m, r, float64(tenths)/10*rng.FullScale, 0)
				rd.ReferenceLimit = 0.003 * rng.FullScale
				rd.Indicated = reading.Explanation{State: worn, FrictionFraction: 0.006}.Indicated(m, r, rd.Reference, d)
				rd.Direction = d
				rds = append(rds, rd)
			}
		}
	}
	if d := diagnose(m, st, rds); told(d, "way down") {
		t.Errorf("%q of readings with their direction", d.Notes)
	}
	for i := range rds {
		rds[i].Direction = reading.Either
	}
	d := diagnose(m, st, rds)
	if len(d.Contradictions) > 0 || !told(d, "way down") {
		t.Errorf("%+v", d)
	}
}
