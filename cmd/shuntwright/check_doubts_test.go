package main

import (
	"math"
	"slices"
	"testing"

	"shuntwright/meter/budget"
)

// opened is the setup of a meter file, with the flags of check.
func opened(t *testing.T, meter, drawer string, flags ...string) (*call, *setup) {
	t.Helper()
	c := &call{ctx: t.Context(), env: env{getenv: func(string) string { return "" }}, command: checkCommand()}
	if _, err := c.parse(append([]string{meter, "--drawer", drawer}, flags...)); err != nil {
		t.Fatal(err)
	}
	s, err := c.openSetup(meter, false)
	if err != nil {
		t.Fatal(err)
	}
	return c, s
}

// coupledBench is an invented meter whose parts move several ranges at once,
// measured with two instruments and with limits of their own.
const (
	coupledBench = `{"name": "multi", "class": 2.5,
 "movement": {"full_scale": "1 mA", "full_scale_limit_percent": 0.3, "coil": "98.6 ohm", "instrument": "hand meter"},
 "circuits": [
  {"circuit": "ring", "ranges": ["3 mA", "10 mA", "30 mA"], "fitted": {"3 mA": "34.5 ohm", "10 mA": "S1 || S2", "30 mA": "4.93 ohm"}},
  {"circuit": "chain", "ranges": ["3 V", "15 V"], "fitted": {"3 V": "C1", "15 V": "12.0 kohm"}},
  {"circuit": "shunt", "range": "50 mA"}]}`
	coupledDrawer = `id,ohms,instrument,gain_percent,floor_ohms
S1,11.9,hand meter,,
S2,57.5,,0.4,0.05
C1,2.901k,bridge,,
`
	coupledInstruments = `{"hand meter": {"gain_percent": 0.8, "counts": 1}, "bridge": {"gain_percent": 0.05, "floor": "0.5 mohm", "wires": 4}}`
)

// TestDoubts: every independent source, taken to its limit, moves the ranges
// as its row says, by the meter's own errors; and the rows of one range
// together are its limit.
func TestDoubts(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "instruments.json", coupledInstruments)
	_, s := opened(t, put(t, dir, "m.json", coupledBench), put(t, dir, "drawer.csv", coupledDrawer))
	state := s.meter.State(s.ohms())
	rows := s.doubts(state)

	// By differences: the state with one source moved by a small share of its limit.
	const share = 1e-4
	before, after := make([]float64, len(s.ranges)), make([]float64, len(s.ranges))
	s.meter.Errors(before, state)
	find := func(what string, scale func(ohms []float64), amperes float64) {
		t.Helper()
		moved := state.With(0, state.Ohms[0])
		scale(moved.Ohms)
		moved.FullScaleAmperes *= 1 + amperes
		s.meter.Errors(after, moved)
		if !slices.ContainsFunc(rows, func(row []float64) bool {
			for r := range row {
				want := (after[r] - before[r]) / share
				if math.IsNaN(want) {
					want = 0 // the range whose position is open
				}
				if math.Abs(row[r]-want) > 1e-3*math.Abs(want)+1e-6 && math.Abs(row[r]+want) > 1e-3*math.Abs(want)+1e-6 {
					return false
				}
				if product := row[r] * row[0]; math.Abs(product) > 1e-9 && (product > 0) != ((after[r]-before[r])*(after[0]-before[0]) > 0) {
					return false // one source, and not the sign between its ranges
				}
			}
			return true
		}) {
			t.Errorf("no row is %s", what)
		}
	}
	at := func(name string) int {
		i, found := s.meter.FindPosition(name)
		if !found {
			t.Fatal(name)
		}
		return s.positions[i].Resistor
	}
	pair := func(a, b float64) float64 { return 1 / (1/a + 1/b) }
	find("the hand meter's gain", func(ohms []float64) {
		for _, k := range []int{0, at("ring 3 mA"), at("ring 30 mA"), at("chain 15 V")} {
			ohms[k] *= 1 + 0.008*share
		}
		ohms[at("ring 10 mA")] = pair(11.9*(1+0.008*share), 57.5)
	}, 0)
	find("the bridge's gain", func(ohms []float64) { ohms[at("chain 3 V")] *= 1 + 0.0005*share }, 0)
	find("the bridge's floor", func(ohms []float64) { ohms[at("chain 3 V")] += 0.0005 * share }, 0)
	find("S2's gain, of the instrument that nobody names", func(ohms []float64) { ohms[at("ring 10 mA")] = pair(11.9, 57.5*(1+0.004*share)) }, 0)
	find("S2's floor", func(ohms []float64) { ohms[at("ring 10 mA")] = pair(11.9, 57.5+0.05*share) }, 0)
	find("S1's count", func(ohms []float64) { ohms[at("ring 10 mA")] = pair(11.9+0.1*share, 57.5) }, 0)
	find("the count of ring 3 mA", func(ohms []float64) { ohms[at("ring 3 mA")] += 0.1 * share }, 0)
	find("the count of ring 30 mA", func(ohms []float64) { ohms[at("ring 30 mA")] += 0.01 * share }, 0)
	find("the count of chain 15 V", func(ohms []float64) { ohms[at("chain 15 V")] += 100 * share }, 0)
	find("the coil's count", func(ohms []float64) { ohms[0] += 0.1 * share }, 0)
	find("the full-scale current", func([]float64) {}, 0.003*share)
	if len(rows) != 11 {
		t.Errorf("%d sources, want 11", len(rows))
	}

	for r, want := range s.rangeLimits(state) {
		var column []budget.Source
		for _, row := range rows {
			column = append(column, budget.Source{Half: math.Abs(row[r])})
		}
		got := budget.Combine(column)
		if math.Abs(got.Limit-want.Limit) > 1e-12 || got.Factor != want.Factor && !math.IsNaN(want.Factor) {
			t.Errorf("%s: ±%v by the sources, ±%v by the budget", s.ranges[r].Name, got, want)
		}
	}
}
