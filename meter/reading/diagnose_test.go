package reading_test

import (
	"math"
	"slices"
	"testing"

	"shuntwright/meter/reading"
)

// Nothing wrong: no explanations, whatever the class makes of it. A file whose
// own figures put a range outside of the class is told so.
func TestNothingWrong(t *testing.T) {
	m, st := shunted(t)
	rds := points(m, fault{state: st}, 0, 1)
	for _, v := range []reading.Verdict{reading.NoVerdict, reading.Pass, reading.Undecided, reading.Fail} {
		d := reading.Diagnose(reading.Case{Meter: m, State: st, Readings: rds, Divisions: 50, Verdict: v})
		if d.Wrong != (v == reading.Fail) || d.AsPredicted != (v == reading.Fail || v == reading.Undecided) || len(d.Explanations) > 0 || d.Next != nil {
			t.Errorf("%v: %+v", v, d)
		}
	}
}

// A contact that has grown is not told from its shunt by any reading; a bench
// measurement does. Both are before the other causes.
func TestContactAndShunt(t *testing.T) {
	m, st := shunted(t)
	const shunt, contact = 4, 5
	d := diagnose(m, st, points(m, fault{state: st.With(contact, 0.3)}, 0, 1))
	e := d.Explanations[0]
	if e.Amounts[0].Cause.Name != "shunt "+m.Ranges()[1].Name || !slices.Equal(e.Amounts[0].SameAs, []string{"contact of " + e.Amounts[0].Cause.Name}) || d.Next != nil || !told(d, "volts across the contact") {
		t.Errorf("%+v", d)
	}
	near(t, "contact", single(t, d, e.Amounts[0].SameAs[0]).Amounts[0].Implied, 0.3, 1e-9)
	near(t, "shunt", e.Amounts[0].Implied, st.Ohms[shunt]+0.3, 1e-9)
	const coil = 0
	risen := diagnose(m, st, points(m, fault{state: st.With(coil, 120)}, 0, 1))
	if risen.Explanations[0].Amounts[0].Cause.Name != "coil" || slices.ContainsFunc(risen.Explanations, func(e reading.Explanation) bool { return e.Amounts[0].Cause.Name == "swamp" }) {
		t.Errorf("no swamping resistor is to be blamed where there is none: %+v", risen)
	}
	low := diagnose(m, st, points(m, fault{state: st.With(shunt, st.Ohms[shunt]*0.8)}, 0, 1))
	if e := low.Explanations[0]; e.Amounts[0].Cause.Name != "shunt "+m.Ranges()[1].Name || len(e.Amounts[0].SameAs) > 0 {
		t.Errorf("a contact cannot have less than nothing: %+v", e)
	}
}

// A wrong zero and friction, in divisions or, without a scale, in percent of
// full scale.
func TestZeroAndFriction(t *testing.T) {
	m, st := shunted(t)
	up, down := points(m, fault{state: st, friction: 0.02}, 0, 1), points(m, fault{state: st, friction: 0.02}, 0, 1)
	for i := range up {
		full := m.Ranges()[up[i].Range].FullScale
		up[i].Direction, down[i].Direction = reading.Up, reading.Down
		up[i].Indicated -= 0.02 * full
		down[i].Indicated += 0.02 * full
	}
	for _, test := range []struct {
		name     string
		readings []reading.Reading
		fraction float64
	}{{"zero", points(m, fault{state: st, zero: -0.03}, 0, 1), -0.03}, {"friction", append(up, down...), 0.02}} {
		for _, unit := range []float64{50, math.NaN()} {
			d := reading.Diagnose(reading.Case{Meter: m, State: st, Readings: test.readings, Divisions: unit, Verdict: reading.Fail})
			e := d.Explanations[0]
			if math.IsNaN(unit) {
				unit = 100
			}
			if e.Amounts[0].Cause.Name != test.name || len(e.Amounts[0].SameAs) > 0 || len(d.Contradictions) > 0 {
				t.Errorf("%s: %+v", test.name, d)
			}
			near(t, test.name, e.Amounts[0].Implied, test.fraction*unit, 1e-9)
			near(t, test.name, e.ZeroFraction+e.FrictionFraction, test.fraction, 1e-9)
			for _, rd := range test.readings {
				near(t, test.name, e.Indicated(m, rd.Range, rd.Reference, rd.Direction), rd.Indicated, 1e-9)
			}
		}
	}
}

// A sticking pointer, read up and down on every range: it starts from rest at
// zero, and the direction written there counts for nothing.
func TestDirectionAtRest(t *testing.T) {
	m, st := shunted(t)
	for _, atRest := range []reading.Direction{reading.Either, reading.Up} {
		var rds []reading.Reading
		for r, rng := range m.Ranges() {
			zero := point(m, r, 0, 0)
			zero.Direction = atRest
			rds = append(rds, zero)
			for _, share := range []float64{0.25, 0.5, 0.75, 1} {
				for d, sign := range map[reading.Direction]float64{reading.Up: -1, reading.Down: 1} {
					rd := point(m, r, share*rng.FullScale, (share+sign*0.03)*rng.FullScale)
					rd.Direction = d
					rds = append(rds, rd)
				}
			}
		}
		d := reading.Diagnose(reading.Case{Meter: m, State: st, Readings: rds, Divisions: 50, Verdict: reading.Fail})
		e := d.Explanations[0]
		if e.Amounts[0].Cause.Name != "friction" || !e.Explains || len(d.Contradictions) > 0 {
			t.Fatalf("marked %v: %+v", atRest, d)
		}
		near(t, "friction", e.Amounts[0].Implied, 0.03*50, 1e-9)
		for _, rd := range rds {
			near(t, "indicated", e.Indicated(m, rd.Range, rd.Reference, rd.Direction), rd.Indicated, 1e-9)
		}
	}
}

// Readings that a reading with nothing applied would settle: the zero against
// the movement, all at full scale.
func TestNextMayBeThePointerAtRest(t *testing.T) {
	m, st := shunted(t)
	var rds []reading.Reading
	for r, rng := range m.Ranges() {
		rds = append(rds, point(m, r, rng.FullScale, 0.95*rng.FullScale))
	}
	d := diagnose(m, st, rds)
	if d.Next == nil || d.Next.Reference != 0 || !slices.Contains(d.Explanations[0].Amounts[0].SameAs, "zero") {
		t.Errorf("%+v", d)
	}
}

// Two faults at once, each on a range of its own: no single cause explains
// them, the pair does, and the notes say so.
func TestTwoFaults(t *testing.T) {
	m, st := shunted(t)
	bad := fault{state: st.With(2, st.Ohms[2]*1.2).With(4, st.Ohms[4]*0.7)}
	d := diagnose(m, st, points(m, bad, 0, 1))
	e := d.Explanations[0]
	if len(e.Amounts) != 2 || !e.Explains || !told(d, "no single cause") {
		t.Fatalf("%+v", d)
	}
	for _, a := range e.Amounts {
		if a.Cause.Resistor != 2 && a.Cause.Resistor != 4 {
			t.Errorf("%+v is not to blame", a)
			continue
		}
		near(t, a.Cause.Name, a.Implied, bad.state.Ohms[a.Cause.Resistor], 1e-7)
	}
	for i, e := range d.Explanations {
		if len(e.Amounts) == 1 && e.Explains || i > 0 && e.Explains && !d.Explanations[i-1].Explains {
			t.Errorf("explanation %d of %+v", i, d.Explanations)
		}
	}
}

// Readings that two causes cannot meet either, and those that any two can.
func TestPairsThatSayNothing(t *testing.T) {
	m, st := shunted(t)
	rds := points(m, fault{state: st, zero: 0.05}, 0)
	for i := range rds {
		rds[i].Indicated += 0.3 * rds[i].Reference
	}
	if d := diagnose(m, st, rds); !told(d, "can always meet") || len(d.Explanations[0].Amounts) != 2 {
		t.Errorf("%+v", d)
	}
	bent := points(m, fault{state: st}, 0)
	bent = append(bent, point(m, 0, 2e-3, 1e-3), point(m, 0, 6e-3, 6.9e-3), point(m, 0, 10e-3, 9e-3))
	if d := diagnose(m, st, bent); !told(d, "no straight line") || told(d, "likely") || slices.ContainsFunc(d.Explanations, func(e reading.Explanation) bool { return e.Explains }) {
		t.Errorf("%+v", d)
	}
}

// The pointer never moved: the coil is open as likely as anything, and it is
// said plainly.
func TestPointerThatNeverMoved(t *testing.T) {
	m, st := shunted(t)
	var rds []reading.Reading
	for r, rng := range m.Ranges() {
		rds = append(rds, point(m, r, rng.FullScale, 0))
	}
	d := diagnose(m, st, rds)
	if e := single(t, d, "coil"); !e.Explains || !math.IsInf(e.Amounts[0].Implied, 1) || !told(d, "never moved") {
		t.Errorf("%+v", d)
	}
	if e := single(t, d, "full-scale current"); !math.IsInf(e.Amounts[0].Implied, 1) || e.Indicated(m, 0, 1e-3, reading.Either) != 0 {
		t.Errorf("%+v", e)
	}
}

// What is no reading of the meter, or of a range that is not whole, is left out
// and said; nothing left is said too.
func TestReadingsThatTakeNoPart(t *testing.T) {
	m, st := shunted(t)
	st.Ohms[2] = math.NaN()
	good := points(m, fault{state: st.With(4, st.Ohms[4]*1.1)}, 1)
	bad := []reading.Reading{
		point(m, 0, 1e-3, 2e-3), point(m, 0, 2e-3, 3e-3), {Range: 7, IndicatedLimit: 1}, {Range: -1, IndicatedLimit: 1}, {Range: 1, Reference: 1},
		point(m, 1, math.NaN(), 0), point(m, 1, 0, math.Inf(1)), point(m, 1, -1, 0), point(m, 1, 0, 1e300),
	}
	d := diagnose(m, st, append(slices.Clone(bad), good...))
	if e := d.Explanations[0]; e.Amounts[0].Cause.Resistor != 4 || !told(d, "is not whole") || len(d.Notes) < 8 {
		t.Errorf("%+v", d)
	}
	for _, v := range []reading.Verdict{reading.Fail, reading.NoVerdict} {
		for _, rds := range [][]reading.Reading{nil, bad} {
			d := reading.Diagnose(reading.Case{Meter: m, State: st, Readings: rds, Divisions: 50, Verdict: v})
			if d.Wrong != (v == reading.Fail) || len(d.Explanations) > 0 || !told(d, "no reading is left") {
				t.Errorf("%v: %+v", v, d)
			}
		}
	}
}

// The file's own doubts excuse what they can: the same readings accuse a meter
// whose figures are exact, and not one whose shunts are only measured. Where
// the verdict is fail a cause is looked for all the same, and the doubt is
// said.
func TestDoubts(t *testing.T) {
	m, st := shunted(t)
	rds := points(m, fault{state: st.With(2, st.Ohms[2]*1.02)}, 0, 1)
	c := reading.Case{Meter: m, State: st, Readings: rds, Divisions: 50, Verdict: reading.Pass}
	if d := reading.Diagnose(c); !d.Wrong || d.Explanations[0].Amounts[0].Cause.Resistor != 2 {
		t.Errorf("exact figures: %+v", d)
	}
	c.Doubts = [][]float64{{3, 0}, {0, 3}, nil, {math.NaN()}}
	if d := reading.Diagnose(c); d.Wrong || len(d.Explanations) > 0 || d.AsPredicted {
		t.Errorf("measured figures: %+v", d)
	}
	c.Verdict = reading.Fail
	if d := reading.Diagnose(c); !d.Wrong || d.AsPredicted || d.Explanations[0].Amounts[0].Cause.Resistor != 2 || !told(d, "within its limit") {
		t.Errorf("measured figures, fail: %+v", d)
	}
	c.Doubts = [][]float64{{0, 3}}
	if d := reading.Diagnose(c); d.Explanations[0].Amounts[0].Cause.Resistor != 2 || told(d, "within its limit") {
		t.Errorf("the other range's doubts: %+v", d)
	}
}

// How far apart two causes must be to be told apart: the shunt of one range,
// read twenty times, against the coil, of which one reading on the other range
// would have to be off by 1.3 limits of the pointer, which happens, or by 1.7,
// which hardly does. Both explain the readings.
func TestWhatIsSaidToBeTheSame(t *testing.T) {
	m, st := shunted(t)
	for _, test := range []struct {
		limits float64
		same   bool
	}{{1.3, true}, {1.7, false}} {
		bad := fault{state: st}
		for part := 1.0; ; part *= 1.0001 {
			if bad.state = st.With(2, st.Ohms[2]*part); bad.show(m, 0, 0.8, reading.Either) >= 0.8+test.limits*limit {
				break
			}
		}
		rds := points(m, fault{state: st}, 1)[1:]
		for range 20 {
			rds = append(rds, points(m, bad, 0)[1:]...)
		}
		d := reading.Diagnose(reading.Case{Meter: m, State: st, Readings: rds, Divisions: 50, Verdict: reading.Fail})
		if e := d.Explanations[0]; e.Amounts[0].Cause.Resistor != 2 || slices.Contains(e.Amounts[0].SameAs, "coil") != test.same || !single(t, d, "coil").Explains {
			t.Errorf("%v limits: %+v", test.limits, d)
		}
	}
}

// The caller's case stays as it was.
func TestDiagnoseLeavesItsCase(t *testing.T) {
	m, st := shunted(t)
	rds := points(m, fault{state: st.With(2, st.Ohms[2]*1.3)}, 0, 1)
	ohms, before := slices.Clone(st.Ohms), slices.Clone(rds)
	d := diagnose(m, st, rds)
	d.Explanations[0].State.Ohms[0] = 0
	if !slices.Equal(ohms, st.Ohms) || !slices.Equal(before, rds) {
		t.Error("the state or the readings were changed")
	}
}
