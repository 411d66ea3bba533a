package asbuilt_test

import (
	"math"
	"slices"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/meter/budget"
)

// TestDoubts: every independent source, taken to its limit, moves the ranges
// as its row says, by the meter's own errors.
func TestDoubts(t *testing.T) {
	s := asbuilttest.Open(t, coupledBench, coupledDrawer, coupledInstruments)
	state := s.Meter.State(s.Ohms())
	rows := s.Doubts(state)

	// By differences: the state with one source moved by a small share of its
	// limit.
	const share = 1e-4
	before, after := make([]float64, len(s.Ranges)), make([]float64, len(s.Ranges))
	s.Meter.Errors(before, state)
	find := func(what string, scale func(ohms []float64), amperes float64) {
		t.Helper()
		moved := state.With(0, state.Ohms[0])
		scale(moved.Ohms)
		moved.FullScaleAmperes *= 1 + amperes
		s.Meter.Errors(after, moved)
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
		i, found := s.Meter.FindPosition(name)
		if !found {
			t.Fatal(name)
		}
		return s.Positions[i].Resistor
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
}

// TestDoubtsOfARange: the rows of one range together are its limit.
func TestDoubtsOfARange(t *testing.T) {
	s := asbuilttest.Open(t, coupledBench, coupledDrawer, coupledInstruments)
	state := s.Meter.State(s.Ohms())
	rows := s.Doubts(state)
	for r, want := range s.RangeLimits(state) {
		var column []budget.Source
		for _, row := range rows {
			column = append(column, budget.Source{Half: math.Abs(row[r])})
		}
		got := budget.Combine(column)
		if math.Abs(got.Limit-want.Limit) > 1e-12 || got.Factor != want.Factor && !math.IsNaN(want.Factor) {
			t.Errorf("%s: ±%v by the sources, ±%v by the budget", s.Ranges[r].Name, got, want)
		}
	}
}
