package meter_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/nodal"
	"shuntwright/meter/quantity"
)

// random makes a meter with one circuit of every kind, the one of newcircuit_test.go
// among them, a chain and a multiplier in front of a ring that stays across the
// movement, and values off their targets by up to a third.
func random(t testing.TB, r *rand.Rand) (*meter.Meter, []float64) {
	t.Helper()
	between := func(lo, hi float64) float64 { return lo * math.Pow(hi/lo, r.Float64()) }
	mv := meter.NewMovement(between(20e-6, 10e-3), between(10, 5000))
	if r.IntN(2) == 0 {
		mv.SwampOhms = between(10, 5000)
	}
	im, n := mv.FullScaleAmperes, 0
	text := func(x float64, unit quantity.Unit) meter.Range {
		n++
		return meter.Range{Name: strconv.Itoa(n) + "th " + strconv.FormatFloat(x, 'g', -1, 64) + " " + string(unit), FullScale: x, Unit: unit, CircuitVolts: math.NaN()}
	}
	amperes := func() meter.Range { return text(im*between(1.2, 1e4), quantity.Ampere) }
	volts := func() meter.Range { return text(im*mv.Ohms()*between(1.2, 1e4), quantity.Volt) }
	several := func(one func() meter.Range) []meter.Range {
		var out []meter.Range
		for range 1 + r.IntN(5) {
			out = append(out, one())
		}
		slices.SortFunc(out, func(a, b meter.Range) int { return int(math.Copysign(1, a.FullScale-b.FullScale)) })
		return out
	}
	var circuits []meter.Circuit
	spec := func(kind string, s meter.Spec) {
		c, err := meter.NewCircuit(kind, s)
		if err != nil {
			t.Fatal(err)
		}
		circuits = append(circuits, c)
	}
	add := func(kind string, given map[string]float64, ranges ...meter.Range) {
		spec(kind, meter.Spec{Ranges: ranges, Given: given})
	}
	branch := mv.Ohms()
	lead := amperes()
	add("direct", nil, amperes())
	add("direct", nil, volts())
	add("shunt", map[string]float64{"contact": 1e-3 * im * branch / lead.FullScale}, lead)
	add("multiplier", nil, volts())
	add("desensitized", nil, volts())
	taps, ringSwamp := several(amperes), r.Float64()*branch
	add("ring", map[string]float64{"swamp": ringSwamp}, taps...)
	add("chain", nil, several(volts)...)
	add("external-shunt", map[string]float64{"shunt": branch / (lead.FullScale/im - 1) * between(1.1, 30)}, text(lead.FullScale, quantity.Ampere))
	add("external-shunt", map[string]float64{"series": branch * r.Float64()}, amperes())
	add("external-shunt", map[string]float64{"drop": im * branch * between(1.1, 30)}, amperes())
	// Whatever its tap, a ring drops less than the movement's current in the
	// whole loop.
	loop := im * (branch + ringSwamp) / (1 - im/taps[0].FullScale)
	behind := func() meter.Range { return text(loop*between(1.05, 1e4), quantity.Volt) }
	spec("chain", meter.Spec{Ranges: several(behind), WithRing: taps[r.IntN(len(taps))].Name})
	spec("multiplier", meter.Spec{Ranges: []meter.Range{behind()}, WithRing: taps[r.IntN(len(taps))].Name})
	r.Shuffle(len(circuits), func(i, j int) { circuits[i], circuits[j] = circuits[j], circuits[i] })
	m, err := meter.New("random", mv, 2.5, circuits)
	if err != nil {
		t.Fatal(err)
	}
	ohms := targets(t, m)
	for i := range ohms {
		ohms[i] *= between(0.75, 1.33)
	}
	return m, ohms
}

func errorsOf(m *meter.Meter, st meter.State) []float64 {
	out := make([]float64, len(m.Ranges()))
	m.Errors(out, st)
	return out
}

// solved feeds a range its nominal full-scale value times a fraction, by nodal
// analysis.
func solved(t *testing.T, m *meter.Meter, st meter.State, r int, fraction float64) (s *nodal.Solution, elements []nodal.Element, feed nodal.Element) {
	net, elements := m.Netlist(st, r)
	rng := m.Ranges()[r]
	if rng.Unit == quantity.Ampere {
		feed = net.CurrentSource(nodal.Ground, meter.Terminal, fraction*rng.FullScale)
	} else {
		feed = net.VoltSource(meter.Terminal, nodal.Ground, fraction*rng.FullScale)
	}
	s, err := net.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return s, elements, feed
}

// The closed formulas against nodal analysis, over random meters with every
// kind of circuit: errors, drops, input resistances, what each position
// carries, and, as all of it is linear, the error at a fraction of the scale.
func TestClosedFormulasAgainstNodal(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 60 {
		m, ohms := random(t, r)
		st := m.State(ohms)
		p := m.Predict(ohms)
		watts := make([]float64, len(ohms))
		for k, rng := range m.Ranges() {
			s, elements, feed := solved(t, m, st, k, 1)
			im := m.Movement.FullScaleAmperes
			if got := 100 * (s.Through(elements[0])/im - 1); math.Abs(got-p.Ranges[k].ErrorPercent) > 1e-9*(100+math.Abs(got)) {
				t.Errorf("%s: error %v %%, nodal %v", rng.Name, p.Ranges[k].ErrorPercent, got)
			}
			input := math.Abs(s.Volts(meter.Terminal) / s.Through(feed))
			if math.Abs(input/p.Ranges[k].InputOhms-1) > 1e-9 {
				t.Errorf("%s: input %v ohm, nodal %v", rng.Name, p.Ranges[k].InputOhms, input)
			}
			if rng.Unit == quantity.Ampere && math.Abs(s.Volts(meter.Terminal)/p.Ranges[k].DropVolts-1) > 1e-9 {
				t.Errorf("%s: drop %v V, nodal %v", rng.Name, p.Ranges[k].DropVolts, s.Volts(meter.Terminal))
			}
			for i, pos := range m.Positions() {
				if e := elements[pos.Resistor]; e >= 0 {
					watts[i] = math.Max(watts[i], s.Through(e)*s.Across(e))
				}
			}
			fraction := r.Float64()
			part, partElements, _ := solved(t, m, st, k, fraction)
			indicated := part.Through(partElements[0]) / im
			if got := 100 * (indicated - fraction); math.Abs(got-fraction*p.Ranges[k].ErrorPercent) > 1e-9*(100+math.Abs(got)) {
				t.Errorf("%s: error %v %% at %v of the scale, %v at full scale", rng.Name, got, fraction, p.Ranges[k].ErrorPercent)
			}
			last, lastElements, _ := solved(t, m, st, k, p.Ranges[k].LastMark/rng.FullScale)
			if got := last.Through(lastElements[0]) / im; math.Abs(got-1) > 1e-9 {
				t.Errorf("%s: last mark at %v drives %v of the scale", rng.Name, p.Ranges[k].LastMark, got)
			}
		}
		for i, w := range watts {
			if math.Abs(p.Positions[i].Watts/w-1) > 1e-9 || math.Abs(p.Positions[i].Volts*p.Positions[i].Amperes/w-1) > 1e-9 {
				t.Errorf("%s: %+v, nodal %v W", m.Positions()[i].Name, p.Positions[i], w)
			}
		}
	}
}

// On target every range reads true, whatever the circuit.
func TestTargetsReadTrue(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for range 200 {
		m, _ := random(t, r)
		for k, e := range m.Predict(targets(t, m)).Ranges {
			kind := m.Circuits[m.Ranges()[k].Circuit].Kind()
			if kind != "direct" && !(math.Abs(e.ErrorPercent) < 1e-9) {
				t.Errorf("%s: error %v %% on target", m.Ranges()[k].Name, e.ErrorPercent)
			}
		}
	}
}

// The derivatives against nodal analysis. As a function of one resistance R, any
// current of a linear circuit is (p + q·R)/(1 + s·R), so that its values at R, R + h
// and R + 2h give its slope at R without an error of differences.
func TestSensitivitiesAgainstNodal(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 1))
	for range 12 {
		m, ohms := random(t, r)
		st := m.State(ohms)
		closed := m.Sensitivities(st)
		for k, rng := range m.Ranges() {
			input := m.Flow(st, k, 1).InputOhms
			current := func(resistor int, more float64) float64 {
				s, elements, _ := solved(t, m, st.With(resistor, st.Ohms[resistor]+more), k, 1)
				return s.Through(elements[0])
			}
			for i, got := range closed[k] {
				h := max(st.Ohms[i], input/100)
				at, one, two := current(i, 0), current(i, h), current(i, 2*h)
				slope := (one - at) / h
				if two != one {
					slope += (one - at) * (2*one - at - two) / (2 * h * (two - one))
				}
				perOhm := 100 * slope / at
				if math.Abs(got.PerOhm-perOhm)*h > 1e-8 || math.Abs(got.PerPercent-got.PerOhm*st.Ohms[i]/100) > 1e-11 {
					t.Errorf("%s to %s: %+v, nodal %v %% per ohm", rng.Name, m.Resistors()[i].Name, got, perOhm)
				}
			}
			more := st
			more.FullScaleAmperes *= 1 + 1e-7
			before, after := errorsOf(m, st)[k]+100, errorsOf(m, more)[k]+100
			if got := (after/before - 1) / 1e-7; math.Abs(got-meter.FullScaleSensitivity) > 1e-5 {
				t.Errorf("%s: %v per cent for a per cent of full-scale current", rng.Name, got)
			}
		}
	}
}

// The contract that the search rests on: each error moves with each slot in the
// direction that Rising says, and not at all where it says 0. Slots are random
// positions, the two of an external shunt by drop among them.
func TestResponseKeepsItsContract(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 9))
	pairs := map[int]int{}
	for range 60 {
		m, ohms := random(t, r)
		open := r.Perm(len(ohms))[:1+r.IntN(len(ohms))]
		if r.IntN(2) == 0 {
			drop := slices.IndexFunc(m.Positions(), func(p meter.Position) bool { return p.Key == "series" })
			open = []int{drop, drop - 1}
		}
		resp := m.Response(open, ohms)
		slots := make([]float64, len(open))
		for s, i := range open {
			slots[s] = ohms[i]
		}
		before, after := make([]float64, len(m.Ranges())), make([]float64, len(m.Ranges()))
		resp.Errors(before, slots)
		for k, want := range errorsOf(m, m.State(ohms)) {
			if math.Abs(before[k]-want) > 1e-11*(100+math.Abs(want)) {
				t.Errorf("%s: response %v, errors %v", m.Ranges()[k].Name, before[k], want)
			}
		}
		for s := range open {
			old := slots[s]
			slots[s] *= 1 + r.Float64()
			resp.Errors(after, slots)
			slots[s] = old
			for k := range after {
				rising := resp.Rising(k, s)
				pairs[rising]++
				if moved := after[k] - before[k]; float64(rising)*moved < 0 || (rising == 0) != (moved == 0) {
					t.Errorf("%s moves by %v when %s grows, rising says %d", m.Ranges()[k].Name, moved, m.Positions()[open[s]].Name, rising)
				}
			}
		}
	}
	if pairs[1] < 100 || pairs[-1] < 100 || pairs[0] < 100 {
		t.Errorf("not all directions were tried: %v", pairs)
	}
}

func TestResponseAllocatesNothing(t *testing.T) {
	m, ohms := random(t, rand.New(rand.NewPCG(1, 1)))
	resp := m.Response([]int{0, 1, 2}, ohms)
	dst, slots := make([]float64, len(m.Ranges())), []float64{1, 2, 3}
	if n := testing.AllocsPerRun(100, func() { resp.Errors(dst, slots) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkResponseErrors(b *testing.B) {
	m := build(b, meter.NewMovement(50e-6, 2000), "ring", nil, quantity.Ampere, 1e-3, 1e-2, 0.1, 0.5, 1)
	resp := m.Response([]int{0, 1, 2, 3, 4}, make([]float64, 5))
	dst, slots := make([]float64, 5), []float64{90, 9, 0.8, 0.1, 0.1}
	b.ReportAllocs()
	for b.Loop() {
		resp.Errors(dst, slots)
	}
}
