package reading_test

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// trials is how many random meters a rate is taken from.
func trials() int {
	if os.Getenv("SHUNTWRIGHT_SLOW") != "" {
		return 2000
	}
	return 60
}

func diagnoseRandom(m *meter.Meter, st meter.State, rds []reading.Reading, doubts [][]float64) reading.Diagnosis {
	j := reading.Judge(m.Ranges(), rds, m.Class, false)
	return reading.Diagnose(reading.Case{Meter: m, State: st, Readings: rds, Doubts: doubts, Divisions: divisions, Verdict: j.Verdict})
}

// Planted faults: one part off by 2 to 100 % either way, in meters of every
// circuit, read by three sorts of people. A fault counts where it moves some
// reading by more than the pointer is trusted to. The right cause must come
// first, or stand among those that are said to be the same as the first, in 99
// of 100.
func TestPlantedFaults(t *testing.T) {
	for _, rd := range readers {
		r := rand.New(rand.NewPCG(1, 2))
		var n, first, among, same, covered, bounded int
		for n < trials() {
			m, st := randomMeter(t, r)
			f := plant(r, m, st)
			rds := rd.calibrate(r, m, f, f.friction > 0 || r.IntN(4) == 0)
			if !(effect(m, st, f, rds) > 1) {
				continue
			}
			n++
			d := diagnoseRandom(m, st, rds, nil)
			isFirst, isAmong := found(d, f.name)
			if isFirst {
				first++
			}
			if !isAmong {
				t.Logf("%s of %d readings, moved by %.1f limits: %+v", f.name, len(rds), effect(m, st, f, rds), d)
				continue
			}
			among++
			same += len(d.Explanations[0].Amounts[0].SameAs)
			if a := single(t, d, f.name).Amounts[0]; !math.IsNaN(a.Limit) {
				bounded++
				if math.Abs(a.Implied-f.amount(m, a.Cause)) <= a.Limit*(1+1e-9) {
					covered++
				}
			}
		}
		t.Logf("%s: %d faults; right cause first in %.1f %%, first or the same as the first in %.1f %% (%.1f names beside it on average); its amount within the limit in %.1f %% of %d",
			rd.name, n, percent(first, n), percent(among, n), float64(same)/float64(among), percent(covered, bounded), bounded)
		if percent(among, n) < 99 {
			t.Errorf("%s: right cause in only %.1f %%", rd.name, percent(among, n))
		}
		if rd.independent && percent(covered, bounded) < 95-300*math.Sqrt(0.05*0.95/float64(bounded)) {
			t.Errorf("%s: a 95 %% limit holds in only %.1f %%", rd.name, percent(covered, bounded))
		}
		if percent(first, n) < 70 || float64(same)/float64(among) > 1 {
			t.Errorf("%s: too much is said to be the same", rd.name)
		}
	}
}

func percent(part, of int) float64 { return 100 * float64(part) / float64(of) }

// amount is what was planted, as an explanation gives it.
func (f fault) amount(m *meter.Meter, c reading.Cause) float64 {
	switch c.Kind {
	case reading.Resistance:
		return f.state.Ohms[c.Resistor]
	case reading.FullScale:
		return f.state.FullScaleAmperes
	case reading.Zero:
		return f.zero * divisions
	}
	return f.friction * divisions
}

// One small fault among many good readings: all together are within what limits
// allow, and the way of the one cause shows it.
func TestSmallFaultAmongManyReadings(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	m, st := randomMeter(t, r)
	for len(m.Ranges()) < 14 {
		m, st = randomMeter(t, r)
	}
	seen := 0
	for _, p := range m.Positions() {
		f := fault{state: st.With(p.Resistor, st.Ohms[p.Resistor]*1.013)}
		rds := readers[0].calibrate(r, m, f, false)
		if moved := effect(m, st, f, rds); moved < 2.5 {
			continue
		}
		seen++
		d := reading.Diagnose(reading.Case{Meter: m, State: st, Readings: rds, Divisions: divisions, Verdict: reading.Pass})
		if _, among := found(d, p.Name); !among {
			t.Errorf("%s is not found: %+v", p.Name, d)
		}
	}
	if seen < 3 {
		t.Errorf("only %d faults were large enough", seen)
	}
}

// doubtful measures every resistance within 0.8 % and the full-scale current
// within 0.5 %: the meter as it is, and what each limit does to the ranges.
func doubtful(r *rand.Rand, m *meter.Meter, st meter.State) (truth meter.State, doubts [][]float64) {
	off := func(percent float64) float64 { return 1 + percent/100*(2*r.Float64()-1) }
	truth = meter.State{FullScaleAmperes: st.FullScaleAmperes * off(0.5), Ohms: slices.Clone(st.Ohms)}
	sensitivities := m.Sensitivities(st)
	column := func(of func(r int) float64) {
		row := make([]float64, len(sensitivities))
		for k := range row {
			row[k] = of(k)
		}
		doubts = append(doubts, row)
	}
	column(func(int) float64 { return 0.5 * meter.FullScaleSensitivity })
	for i := range truth.Ohms {
		truth.Ohms[i] *= off(0.8)
		column(func(k int) float64 { return 0.8 * sensitivities[k][i].PerPercent })
	}
	return truth, doubts
}

// What the file doubts makes an amount less sure and does not shift it, however
// many readings there are.
func TestDoubtsDoNotLean(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	m, st := randomMeter(t, r)
	for len(m.Ranges()) < 14 {
		m, st = randomMeter(t, r)
	}
	_, doubts := doubtful(r, m, st)
	part := m.Positions()[0].Resistor
	var rds []reading.Reading
	for len(rds) < 1000 {
		rds = append(rds, readers[0].calibrate(r, m, fault{state: st.With(part, st.Ohms[part]*1.3)}, false)...)
	}
	a := diagnoseRandom(m, st, rds, nil).Explanations[0].Amounts[0]
	b := diagnoseRandom(m, st, rds, doubts).Explanations[0].Amounts[0]
	if a.Cause.Resistor != part || b.Cause.Resistor != part || !(b.Limit > a.Limit) || math.Abs(a.Implied-b.Implied) > 0.1*b.Limit {
		t.Errorf("%+v with exact figures, %+v with measured ones", a, b)
	}
}

// careless is somebody whose readings scatter normally, with the standard
// deviation of the limit: one in twelve is beyond it. The tests are made to
// hold even then.
var careless = reader{"normal errors", func(r *rand.Rand, x float64) float64 { return x + 0.2/math.Sqrt(3)*r.NormFloat64() }, true}

// A healthy meter is accused in at most 1 of 100, where the file is exact and
// where its figures are only measured.
func TestHealthyMeterIsNotAccused(t *testing.T) {
	for _, measured := range []bool{false, true} {
		for _, rd := range append(slices.Clone(readers), careless) {
			r := rand.New(rand.NewPCG(1, 3))
			accused, n := 0, trials()
			for range n {
				m, st := randomMeter(t, r)
				truth, doubts := st, [][]float64(nil)
				if measured {
					truth, doubts = doubtful(r, m, st)
				}
				if d := diagnoseRandom(m, st, rd.calibrate(r, m, fault{state: truth}, r.IntN(4) == 0), doubts); d.Wrong || len(d.Explanations) > 0 {
					accused++
				}
			}
			t.Logf("%s, file measured %v: %d of %d healthy meters accused", rd.name, measured, accused, n)
			allowed := float64(n) / 100
			if rd.name == careless.name { // whose rate is close to that; 3 standard deviations
				allowed += 3 * math.Sqrt(allowed)
			}
			if float64(accused) > allowed {
				t.Errorf("%s, file measured %v: %d of %d healthy meters accused", rd.name, measured, accused, n)
			}
		}
	}
}

// Where the file's figures are only measured, a fault counts where it moves
// some reading by more than twice what the pointer and those figures together
// are trusted to.
func TestPlantedFaultsInMeasuredMeters(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 5))
	var n, among, accused int
	for n < trials() {
		m, st := randomMeter(t, r)
		truth, doubts := doubtful(r, m, st)
		f := plant(r, m, truth)
		rds := readers[0].calibrate(r, m, f, f.friction > 0 || r.IntN(4) == 0)
		if !plain(m, truth, f, rds, doubts) {
			continue
		}
		n++
		d := diagnoseRandom(m, st, rds, doubts)
		if d.Wrong {
			accused++
		}
		if _, is := found(d, f.name); is {
			among++
		} else {
			t.Logf("%s: %+v", f.name, d)
		}
	}
	t.Logf("%d faults in measured meters: %d accused, the right cause in %.1f %%", n, accused, percent(among, n))
	if percent(among, n) < 99 {
		t.Errorf("right cause in only %.1f %%", percent(among, n))
	}
}

// plain reports whether a fault stands out from the limits of pointer and file.
func plain(m *meter.Meter, truth meter.State, f fault, rds []reading.Reading, doubts [][]float64) bool {
	for _, rd := range rds {
		fraction := rd.Reference / m.Ranges()[rd.Range].FullScale
		variance := 0.0
		for _, d := range doubts {
			variance += d[rd.Range] * d[rd.Range] / 1e4 / 3
		}
		shown := f.show(m, rd.Range, fraction, rd.Direction)
		if math.Abs(shown-fault{state: truth}.show(m, rd.Range, fraction, rd.Direction)) > 2*(limit+1.96*math.Sqrt(variance)*shown) {
			return true
		}
	}
	return false
}

// Two parts off at once, each of them and both together moving some reading by
// more than three times the pointer's limit: where no single cause explains the
// readings, the right pair is among those that do.
func TestPlantedPairs(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	var n, alone, listed int
	for n < trials()/3 {
		m, st := randomMeter(t, r)
		f := plant(r, m, st)
		g := plant(r, m, f.state)
		rds := readers[0].calibrate(r, m, g, false)
		parts := f.zero == 0 && g.zero == 0 && f.friction == 0 && g.friction == 0 && f.name != g.name
		if !parts || math.Min(effect(m, f.state, g, rds), math.Min(effect(m, st, f, rds), effect(m, st, g, rds))) < 3 {
			continue
		}
		n++
		d := diagnoseRandom(m, st, rds, nil)
		if e := d.Explanations[0]; len(e.Amounts) == 1 && e.Explains {
			alone++
			continue
		}
		if slices.ContainsFunc(d.Explanations, func(e reading.Explanation) bool {
			return len(e.Amounts) == 2 && e.Explains && (e.Amounts[0].Cause.Name == f.name && e.Amounts[1].Cause.Name == g.name ||
				e.Amounts[0].Cause.Name == g.name && e.Amounts[1].Cause.Name == f.name)
		}) {
			listed++
		} else {
			t.Logf("%s with %s: %+v", f.name, g.name, d)
		}
	}
	t.Logf("%d pairs: one cause explains %d, the right pair is listed in %d", n, alone, listed)
	if listed < (n-alone)*95/100 || alone > n/4 {
		t.Errorf("of %d pairs only %d were found", n-alone, listed)
	}
}
