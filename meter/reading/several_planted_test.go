package reading_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// severalIn puts so many positions off by 3 to 100 %, either way.
func severalIn(r *rand.Rand, m *meter.Meter, st meter.State, count int) (fault, []meter.Position) {
	var parts []meter.Position
	bad := st
	for _, k := range r.Perm(len(m.Positions()))[:count] {
		p := m.Positions()[k]
		size := 0.03 * math.Pow(1/0.03, r.Float64())
		if r.IntN(2) == 0 {
			size = -size
		}
		bad, parts = bad.With(p.Resistor, st.Ohms[p.Resistor]*(1+size)), append(parts, p)
	}
	return fault{state: bad}, parts
}

// Planted sets of three to five faults in meters of several circuits, each
// fault moving some reading, beside the others, by more than three times the
// pointer's limit. In 95 of 100 all of them are named in the first explanation,
// or said to be the same as what is named there; and where it names just those,
// their amounts are what was planted.
func TestPlantedSeveral(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 4))
	var n, named, exact, fewer, covered, amounts, far int
	for n < trials()/3 {
		m, st := randomMeter(t, r)
		count := 3 + r.IntN(3)
		if len(m.Circuits) < 3 || len(m.Positions()) <= count {
			continue
		}
		f, parts := severalIn(r, m, st, count)
		rds := readers[0].calibrate(r, m, f, false)
		if slices.ContainsFunc(parts, func(p meter.Position) bool {
			return effect(m, f.state.With(p.Resistor, st.Ohms[p.Resistor]), f, rds) < 3
		}) {
			continue
		}
		n++
		d := diagnoseRandom(m, st, rds, nil)
		e := d.Explanations[0]
		missed := slices.DeleteFunc(slices.Clone(parts), func(p meter.Position) bool {
			return slices.ContainsFunc(e.Amounts, func(a reading.Amount) bool { return a.Cause.Name == p.Name || slices.Contains(a.SameAs, p.Name) })
		})
		if e.Explains && len(e.Amounts) < len(parts) {
			fewer++
		}
		if e.Explains && len(missed) == 0 {
			named++
		} else {
			t.Logf("%v are missed in %s, explains %v", missed, causes(e), e.Explains)
			continue
		}
		if len(e.Amounts) != len(parts) || slices.ContainsFunc(e.Amounts, func(a reading.Amount) bool {
			return !slices.ContainsFunc(parts, func(p meter.Position) bool { return a.Cause.Name == p.Name })
		}) {
			continue
		}
		exact++
		for _, a := range e.Amounts {
			if math.IsNaN(a.Limit) {
				continue
			}
			amounts++
			switch off := math.Abs(a.Implied - f.amount(m, a.Cause)); {
			case off <= a.Limit:
				covered++
			case off > 2*a.Limit:
				far++
			}
		}
	}
	t.Logf("%d meters with three to five faults: all named in %.1f %%, just those in %.1f %%, fewer causes explain %.1f %%; amounts within the limit in %.1f %% of %d, beyond twice the limit %d",
		n, percent(named, n), percent(exact, n), percent(fewer, n), percent(covered, amounts), amounts, far)
	if percent(named, n) < 95 || percent(exact, n) < 30 {
		t.Errorf("all named in only %.1f %%, just those in %.1f %%", percent(named, n), percent(exact, n))
	}
	if percent(covered, amounts) < 95-300*math.Sqrt(0.05*0.95/float64(amounts)) || far > amounts/100 {
		t.Errorf("a 95 %% limit holds in only %.1f %% of %d; %d are far off", percent(covered, amounts), amounts, far)
	}
}
