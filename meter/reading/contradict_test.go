package reading_test

import (
	"math"
	"slices"
	"testing"

	"shuntwright/meter/reading"
)

// A reading that is far off among good ones is left out alone; two that contradict each other both; what friction explains is none.
func TestContradictions(t *testing.T) {
	m, st := shunted(t)
	good := points(m, fault{state: st.With(2, st.Ohms[2]*1.1)}, 0)
	good = append(good, point(m, 0, 6e-3, good[0].Indicated*1.5))
	d := diagnose(m, st, append(append([]reading.Reading{{Range: 9}}, good...), point(m, 0, 9e-3, 1e-3)))
	want := []reading.Contradiction{{First: 1, Second: 4}, {First: 2, Second: 4}, {First: 3, Second: 4}}
	if !slices.Equal(d.Contradictions, want) || d.Explanations[0].Amounts[0].Cause.Resistor != 2 || !told(d, "not averaged") {
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

// A reference that is only roughly known makes readings less of a contradiction, and its limit counts with the gain of the range.
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
