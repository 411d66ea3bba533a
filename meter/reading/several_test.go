package reading_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// workshop is a movement of 50 µA and 1985 ohm in a ring, a shunt of its own
// and a chain.
func workshop(t testing.TB) (*meter.Meter, meter.State) {
	t.Helper()
	ranges := func(unit quantity.Unit, names ...string) []meter.Range {
		var out []meter.Range
		for _, name := range names {
			v, err := quantity.Parse(name, unit, quantity.Positive)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, meter.Range{Name: name, FullScale: v.Base, Unit: unit, CircuitVolts: math.NaN()})
		}
		return out
	}
	var circuits []meter.Circuit
	for _, c := range []struct {
		kind   string
		ranges []meter.Range
	}{{"ring", ranges(quantity.Ampere, "1 mA", "10 mA", "100 mA")}, {"shunt", ranges(quantity.Ampere, "1 A")}, {"chain", ranges(quantity.Volt, "2.5 V", "10 V", "50 V", "250 V")}} {
		circuit, err := meter.NewCircuit(c.kind, meter.Spec{Ranges: c.ranges})
		if err != nil {
			t.Fatal(err)
		}
		circuits = append(circuits, circuit)
	}
	mv := meter.NewMovement(50e-6, 1985)
	mv.Divisions = divisions
	m, err := meter.New("workshop", mv, 3, circuits)
	if err != nil {
		t.Fatal(err)
	}
	targets, err := m.Targets()
	if err != nil {
		t.Fatal(err)
	}
	return m, m.State(targets)
}

// off is a state with some positions off by so many percent.
func off(t testing.TB, m *meter.Meter, st meter.State, percent map[string]float64) meter.State {
	t.Helper()
	for name, p := range percent {
		i, found := m.FindPosition(name)
		if !found {
			t.Fatalf("no position %q", name)
		}
		k := m.Positions()[i].Resistor
		st = st.With(k, st.Ohms[k]*(1+p/100))
	}
	return st
}

// thirds reads every range at 0.2, 0.6 and 1.0 of full scale, or of as much as
// keeps the pointer on the scale, to a tenth of a division, with a reference of
// 0.3 %.
func thirds(m *meter.Meter, f fault) []reading.Reading {
	var out []reading.Reading
	for r, rng := range m.Ranges() {
		most := 1 / math.Max(1, f.show(m, r, 1, reading.Either))
		for _, fraction := range []float64{0.2 * most, 0.6 * most, most} {
			shown := math.Round(10*divisions*f.show(m, r, fraction, reading.Either)) / 10 / divisions
			rd := point(m, r, fraction*rng.FullScale, shown*rng.FullScale)
			rd.ReferenceLimit = 0.003 * rd.Reference
			out = append(out, rd)
		}
	}
	return out
}

// Faults in circuits that share only the movement are found circuit by circuit,
// however many they are, and inside a ring or a chain too, with the movement or
// the zero off as well. The first row is a meter as it comes to a bench: half
// of its resistors have drifted.
func TestSeveralFaults(t *testing.T) {
	m, st := workshop(t)
	for _, test := range []struct {
		percent   map[string]float64
		fullScale float64 // percent
		zero      float64 // fraction of full scale
		causes    string
		same      string // what cannot be told from some of them
	}{
		{map[string]float64{"ring 10 mA": 5, "chain 50 V": 4.5, "chain 250 V": 30}, 0, 0, "ring 10 mA, chain 50 V, chain 250 V", ""},
		{map[string]float64{"ring 100 mA": -20, "shunt 1 A": 10, "chain 10 V": 100}, 0, 0, "ring 100 mA, shunt 1 A, chain 10 V", "contact of shunt 1 A"},
		{map[string]float64{"chain 2.5 V": 8, "chain 10 V": -9, "chain 250 V": 20}, 0, 0, "chain 2.5 V, chain 10 V, chain 250 V", ""},
		{map[string]float64{"ring 1 mA": 50, "ring 10 mA": 10, "shunt 1 A": 10, "chain 2.5 V": 8, "chain 10 V": -9, "chain 250 V": 20}, 0, 0,
			"ring 1 mA, ring 10 mA, shunt 1 A, chain 2.5 V, chain 10 V, chain 250 V", "contact of shunt 1 A"},
		{map[string]float64{"ring 10 mA": 20, "chain 10 V": 20}, -15, 0, "ring 10 mA, chain 10 V, full-scale current", ""},
		{map[string]float64{"ring 10 mA": 20, "shunt 1 A": -20, "chain 10 V": 20}, 0, 0.03, "ring 10 mA, shunt 1 A, chain 10 V, zero", ""},
	} {
		bad := off(t, m, st, test.percent)
		bad.FullScaleAmperes *= 1 + test.fullScale/100
		f := fault{state: bad, zero: test.zero}
		d := diagnoseRandom(m, st, thirds(m, f), nil)
		e := d.Explanations[0]
		if causes(e) != test.causes || !e.Explains || len(e.Unexplained) > 0 || !told(d, fmt.Sprintf("%d together", len(e.Amounts))) {
			t.Errorf("%s: %+v", test.causes, d)
			continue
		}
		var same []string
		for _, a := range e.Amounts {
			if same = append(same, a.SameAs...); math.Abs(a.Implied-f.amount(m, a.Cause)) > a.Limit || math.IsNaN(a.Limit) {
				t.Errorf("%s: %+v", test.causes, a)
			}
		}
		if strings.Join(same, ", ") != test.same {
			t.Errorf("%s: the same as %q", test.causes, same)
		}
		if told(d, "not proven") || test.same != "" && !told(d, test.same) {
			t.Errorf("%s: %q", test.causes, d.Notes)
		}
		for _, a := range e.Amounts {
			certain := !slices.ContainsFunc(d.Explanations, func(e reading.Explanation) bool {
				return e.Explains && !slices.Contains(strings.Split(causes(e), ", "), a.Cause.Name)
			})
			if certain && told(d, a.Cause.Name) {
				t.Errorf("%s: %s is certain, and not to be told apart from anything: %q", test.causes, a.Cause.Name, d.Notes)
			}
		}
		for i, e := range d.Explanations {
			if e.Explains != (len(e.Amounts) == len(d.Explanations[0].Amounts)) {
				t.Errorf("%s: explanation %d: %+v", test.causes, i, e)
			}
		}
	}
}

// Zero and friction beside three parts, every point read rising and falling.
func TestPointerAndSeveralParts(t *testing.T) {
	m, st := workshop(t)
	bad := off(t, m, st, map[string]float64{"ring 10 mA": 20, "shunt 1 A": -20, "chain 10 V": 20})
	for _, f := range []fault{{state: bad, friction: 0.02}, {state: bad, zero: 0.03, friction: 0.02}} {
		d := diagnoseRandom(m, st, readers[0].calibrate(rand.New(rand.NewPCG(1, 6)), m, f, true), nil)
		want := "ring 10 mA, shunt 1 A, chain 10 V, zero, friction"
		if f.zero == 0 {
			want = "ring 10 mA, shunt 1 A, chain 10 V, friction"
		}
		e := d.Explanations[0]
		if causes(e) != want || !e.Explains {
			t.Errorf("%s: %s, explains %v, %q", want, causes(e), e.Explains, d.Notes)
			continue
		}
		for _, a := range e.Amounts {
			if math.Abs(a.Implied-f.amount(m, a.Cause)) > 1.5*a.Limit {
				t.Errorf("%s: %+v", want, a)
			}
		}
	}
}

// A small fault that the many good readings of its circuit hide is added where
// all are fitted together, and nothing else is.
func TestSmallFaultBesideSeveral(t *testing.T) {
	m, st := workshop(t)
	large := map[string]float64{"ring 10 mA": 20, "chain 10 V": 20, "shunt 1 A": 10}
	found, more := 0, 0
	const n = 20
	for seed := range uint64(n) {
		r := rand.New(rand.NewPCG(seed, 7))
		for _, small := range []float64{0, 0.475} {
			large["chain 250 V"] = small
			f := fault{state: off(t, m, st, large)}
			var rds []reading.Reading
			for range 4 {
				rds = append(rds, readers[0].calibrate(r, m, f, false)...)
			}
			switch e := diagnoseRandom(m, st, rds, nil).Explanations[0]; {
			case small > 0 && e.Explains && causes(e) == "ring 10 mA, shunt 1 A, chain 10 V, chain 250 V":
				found++
			case small == 0 && causes(e) != "ring 10 mA, shunt 1 A, chain 10 V":
				more++
			}
		}
	}
	if found < n*8/10 || more > 0 {
		t.Errorf("the small fault is found in %d of %d, and one too many is named in %d", found, n, more)
	}
}

// causes are the names of an explanation's.
func causes(e reading.Explanation) string {
	var out []string
	for _, a := range e.Amounts {
		out = append(out, a.Cause.Name)
	}
	return strings.Join(out, ", ")
}

// A misread reading spoils its own range, or its circuit, and nothing else.
func TestMisreadReading(t *testing.T) {
	m, st := workshop(t)
	faulty := fault{state: off(t, m, st, map[string]float64{"ring 10 mA": 5, "chain 50 V": 4.5, "chain 250 V": 30})}
	for _, test := range []struct {
		what        string
		fault       fault
		misread     func(rds []reading.Reading)
		unexplained []int
		causes      string
		note        string
	}{
		{"a point of 100 mA, beside faults", faulty, func(rds []reading.Reading) { rds[7].Indicated *= 0.8 }, []int{2}, "ring 10 mA, chain 50 V, chain 250 V", "no straight line"},
		{"a point of 1 A, beside one fault", fault{state: off(t, m, st, map[string]float64{"chain 10 V": 20})}, func(rds []reading.Reading) { rds[10].Indicated *= 0.8 }, []int{3}, "chain 10 V", "no straight line"},
		{"a point of 1 A, and nothing else", fault{state: st}, func(rds []reading.Reading) { rds[10].Indicated *= 0.8 }, nil, "", "all other readings agree"},
		{"the whole of 1 mA, below what its ring can give, beside faults", fault{state: off(t, m, st, map[string]float64{"shunt 1 A": -40, "chain 2.5 V": 50, "chain 50 V": -30})}, func(rds []reading.Reading) {
			for i := range 3 {
				rds[i].Indicated = 0.02 * float64(i) * 1e-3
				rds[3+i].Reference, rds[3+i].Indicated = rds[3+i].Reference/10, rds[3+i].Indicated/2
			}
		}, []int{0, 1, 2}, "shunt 1 A, chain 2.5 V, chain 50 V", "nothing explains the readings of 1 mA, 10 mA, 100 mA"},
	} {
		rds := thirds(m, test.fault)
		test.misread(rds)
		d := diagnose(m, st, rds)
		if !d.Wrong || !told(d, test.note) {
			t.Errorf("%s: %v", test.what, d.Notes)
		}
		if test.causes == "" {
			if len(d.Explanations) > 0 {
				t.Errorf("%s: %+v", test.what, d.Explanations)
			}
			continue
		}
		e := d.Explanations[0]
		if causes(e) != test.causes || !slices.Equal(e.Unexplained, test.unexplained) || e.Explains {
			t.Errorf("%s: %+v %q", test.what, e, d.Notes)
			continue
		}
		for _, a := range e.Amounts {
			if math.Abs(a.Implied-test.fault.amount(m, a.Cause)) > a.Limit || math.IsNaN(a.Limit) {
				t.Errorf("%s: %+v", test.what, a)
			}
		}
	}
}

// Of four readings of the one range that was read, the one that is off the line of the
// others is named.
func TestMisreadOfFour(t *testing.T) {
	m, st := shunted(t)
	for misread := range 4 {
		var rds []reading.Reading
		for i := range 4 {
			shown := 0.25 * float64(i+1)
			if i == misread {
				shown -= 0.1
			}
			rds = append(rds, point(m, 0, 2.5e-3*float64(i+1), shown*10e-3))
		}
		if d := diagnose(m, st, rds); !told(d, fmt.Sprintf("likely reading %d, with ", misread+1)) {
			t.Errorf("%d: %q", misread, d.Notes)
		}
	}
}

// Where every range of a ring is off by a part of its own, any gains could be
// met: that is said, and of no other circuit.
func TestAsManyPartsAsRanges(t *testing.T) {
	m, st := workshop(t)
	bad := off(t, m, st, map[string]float64{"ring 1 mA": 10, "ring 10 mA": -10, "ring 100 mA": 20, "chain 50 V": 20})
	d := diagnose(m, st, thirds(m, fault{state: bad}))
	if e := d.Explanations[0]; len(e.Amounts) != 4 || !e.Explains || !told(d, "1 mA, 10 mA, 100 mA is possible, not proven") {
		t.Errorf("%s %q", causes(e), d.Notes)
	}
}

// Nothing is noted twice.
func TestNotesStandOnce(t *testing.T) {
	m, st := workshop(t)
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 1))
		rds := thirds(m, fault{state: st})
		for i := range rds {
			rds[i].Indicated *= 1 + 0.5*math.Round(r.Float64()-0.2)
		}
		d := diagnose(m, st, rds)
		notes := slices.Sorted(slices.Values(d.Notes))
		if len(slices.Compact(notes)) != len(d.Notes) {
			t.Errorf("%q", d.Notes)
		}
	}
}
