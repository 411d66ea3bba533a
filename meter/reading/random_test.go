package reading_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// divisions is the scale of the random meters.
const divisions = 50

// randomMeter makes a meter with some of the circuits of every kind, all of it
// on target where there is one.
func randomMeter(t testing.TB, r *rand.Rand) (*meter.Meter, meter.State) {
	t.Helper()
	between := func(lo, hi float64) float64 { return lo * math.Pow(hi/lo, r.Float64()) }
	mv := meter.NewMovement(between(20e-6, 10e-3), between(10, 5000))
	mv.Divisions = divisions
	if r.IntN(2) == 0 {
		mv.SwampOhms = mv.CoilOhms * between(0.1, 10)
	}
	im, branch, n := mv.FullScaleAmperes, mv.Ohms(), 0
	rng := func(x float64, unit quantity.Unit) meter.Range {
		n++
		return meter.Range{Name: fmt.Sprintf("%d: %.4g %s", n, x, unit), FullScale: x, Unit: unit, CircuitVolts: math.NaN()}
	}
	amperes := func() meter.Range { return rng(im*between(1.5, 1e4), quantity.Ampere) }
	volts := func() meter.Range { return rng(im*branch*between(1.5, 1e4), quantity.Volt) }
	several := func(first, unit float64, of quantity.Unit) []meter.Range {
		var out []meter.Range
		for x, k := first*between(1.5, 30), 2+r.IntN(4); k > 0; x, k = x*between(1.8, 10), k-1 {
			out = append(out, rng(x*unit, of))
		}
		return out
	}
	lead := amperes()
	choice := []struct {
		kind   string
		given  map[string]float64
		ranges []meter.Range
	}{
		{"direct", nil, []meter.Range{rng(im, quantity.Ampere)}},
		{"direct", nil, []meter.Range{rng(im*branch, quantity.Volt)}},
		{"shunt", map[string]float64{"contact": float64(r.IntN(2)) * 1e-2 * im * branch / lead.FullScale}, []meter.Range{lead}},
		{"shunt", nil, []meter.Range{amperes()}},
		{"multiplier", nil, []meter.Range{volts()}},
		{"multiplier", nil, []meter.Range{volts()}},
		{"ring", map[string]float64{"swamp": float64(r.IntN(2)) * between(0.1, 5) * branch}, several(1, im, quantity.Ampere)},
		{"chain", nil, several(1, im*branch, quantity.Volt)},
		{"external-shunt", map[string]float64{"shunt": branch / (lead.FullScale/im - 1) * between(1.1, 30)}, []meter.Range{rng(lead.FullScale, quantity.Ampere)}},
		{"external-shunt", map[string]float64{"series": branch * between(0.01, 10)}, []meter.Range{amperes()}},
		{"external-shunt", map[string]float64{"drop": im * branch * between(1.1, 30)}, []meter.Range{amperes()}},
	}
	var built []meter.Circuit
	for k, c := range choice {
		if r.IntN(2) == 0 || k == len(choice)-1 && len(built) == 0 {
			circuit, err := meter.NewCircuit(c.kind, meter.Spec{Ranges: c.ranges, Given: c.given})
			if err != nil {
				t.Fatal(err)
			}
			built = append(built, circuit)
		}
	}
	m, err := meter.New("random", mv, 2.5, built)
	if err != nil {
		t.Fatal(err)
	}
	targets, err := m.Targets()
	if err != nil {
		t.Fatal(err)
	}
	return m, m.State(targets)
}

// fault is something planted in a meter.
type fault struct {
	name           string
	state          meter.State
	zero, friction float64 // fractions of full scale
}

// show is what the pointer of a meter with a fault shows, as a fraction of full
// scale.
func (f fault) show(m *meter.Meter, r int, fraction float64, d reading.Direction) float64 {
	e := reading.Explanation{State: f.state, ZeroFraction: f.zero, FrictionFraction: f.friction}
	full := m.Ranges()[r].FullScale
	return e.Indicated(m, r, fraction*full, d) / full
}

// plant puts one part off by 2 to 100 %, either way; a contact grows by that of
// the shunt it is in series with, the zero moves and friction grows by up to a
// twentieth of the scale.
func plant(r *rand.Rand, m *meter.Meter, st meter.State) fault {
	size := 0.02 * math.Pow(50, r.Float64())
	factor := 1 + size
	if r.IntN(2) == 0 {
		factor = 1 - size
	}
	resistors := m.Resistors()
	switch k := r.IntN(len(resistors) + 3); k - len(resistors) {
	case 0:
		return fault{name: "full-scale current", state: meter.State{FullScaleAmperes: st.FullScaleAmperes * factor, Ohms: st.Ohms}}
	case 1:
		return fault{name: "zero", state: st, zero: (factor - 1) / 20}
	case 2:
		return fault{name: "friction", state: st, friction: size / 20}
	default:
		res := resistors[k]
		if res.Use == meter.Contact {
			return fault{name: res.Name, state: st.With(k, st.Ohms[k]+size*st.Ohms[k-1])}
		}
		return fault{name: res.Name, state: st.With(k, st.Ohms[k]*factor)}
	}
}

// reader turns what the pointer shows, in divisions, into what is read off.
type reader struct {
	name        string
	read        func(r *rand.Rand, shown float64) float64
	independent bool // the errors of its readings are
}

// readers are people whose readings are within 0.2 division: of any error
// alike; to the nearest fifth of a division with a little parallax; and to the
// nearest two fifths, which makes the same error at the same point of every
// range.
var readers = []reader{
	{"any error within 0.2 division", func(r *rand.Rand, x float64) float64 { return x + 0.4*r.Float64() - 0.2 }, true},
	{"to the nearest 0.2, parallax 0.1", func(r *rand.Rand, x float64) float64 { return 0.2 * math.Round((x+0.2*r.Float64()-0.1)/0.2) }, true},
	{"to the nearest 0.4", func(_ *rand.Rand, x float64) float64 { return 0.4 * math.Round(x/0.4) }, false},
}

// calibrate reads every range at the quarters of its scale, up and down where
// friction is in question. Where the meter reads high less is applied, so that
// the pointer stays on the scale.
func (rd reader) calibrate(r *rand.Rand, m *meter.Meter, f fault, both bool) []reading.Reading {
	var out []reading.Reading
	for k, rng := range m.Ranges() {
		most := 1 / math.Max(1, f.show(m, k, 1, reading.Either))
		for quarter := 1; quarter <= 4; quarter++ {
			fraction := most * float64(quarter) / 4
			for _, d := range []reading.Direction{reading.Up, reading.Down} {
				if !both {
					d = reading.Either
				}
				shown := rd.read(r, divisions*f.show(m, k, fraction, d)) / divisions
				out = append(out, reading.Reading{Range: k, Reference: fraction * rng.FullScale, Indicated: shown * rng.FullScale, IndicatedLimit: limit * rng.FullScale, Direction: d})
				if !both {
					break
				}
			}
		}
	}
	return out
}

// effect is the largest change that a fault makes to any reading, in limits of
// the pointer.
func effect(m *meter.Meter, st meter.State, f fault, rds []reading.Reading) float64 {
	most := 0.0
	for _, rd := range rds {
		fraction := rd.Reference / m.Ranges()[rd.Range].FullScale
		most = math.Max(most, math.Abs(f.show(m, rd.Range, fraction, rd.Direction)-fault{state: st}.show(m, rd.Range, fraction, rd.Direction))/limit)
	}
	return most
}

// found reports whether the diagnosis has the right cause first, and whether it
// has it among those that it says are the same.
func found(d reading.Diagnosis, name string) (first, among bool) {
	if len(d.Explanations) == 0 || len(d.Explanations[0].Amounts) != 1 {
		return false, false
	}
	e := d.Explanations[0]
	first = e.Amounts[0].Cause.Name == name
	return first, first || slices.Contains(e.Amounts[0].SameAs, name)
}
