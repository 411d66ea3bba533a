package objective

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
)

func TestLinks(t *testing.T) {
	r := &matchtest.Linear{Targets: []float64{10, 20, 30}, Weights: [][]float64{{1, 0, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, 0}}, Offset: []float64{0, 0, 0, 7}}
	l := NewLinks(r, 4, r.Targets)
	if !l.Separate() || !slices.Equal(l.RangeOf, []int{0, 1, 2}) || len(l.SlotsOf[3]) != 0 {
		t.Errorf("separate: %+v", l)
	}
	l.Values[0] = 11
	l.Respond()
	if math.Abs(l.Errors[0]-10) > 1e-9 || l.Errors[3] != 7 {
		t.Errorf("errors %v", l.Errors)
	}
	if l.Reset(); l.Values[0] != 10 {
		t.Errorf("values %v", l.Values)
	}
	r.Weights[3][0] = 1 // slot 0 has two ranges
	if NewLinks(r, 4, r.Targets).Separate() {
		t.Error("a slot with two ranges is separate")
	}
	r.Weights[3][0], r.Weights[0][1] = 0, 1 // range 0 has two slots
	if l := NewLinks(r, 4, r.Targets); l.Separate() || !slices.Equal(l.SlotsOf[0], []int{0, 1}) {
		t.Errorf("coupled: %+v", l)
	}
	if !NewLinks(nil, 0, nil).Separate() {
		t.Error("nothing is not separate")
	}
}

// What lies beyond a fraction of the target must cost no less than is said; the
// shunt and the multiplier are steeper on one side.
func TestCostBeyond(t *testing.T) {
	m := matchtest.NewMeter(1e-3, 100, matchtest.Circuit{Kind: matchtest.Shunt, Full: []float64{2e-3, 0.5}},
		matchtest.Circuit{Kind: matchtest.Multiplier, Full: []float64{0.2, 100}})
	l := NewLinks(m, 4, m.Targets)
	for slot, target := range m.Targets {
		for _, fraction := range []float64{0, 1e-6, 0.01, 0.3, 0.99, 1, 3} {
			least := math.Inf(1)
			for _, x := range []float64{1, 1 + 1e-9, 1.1, 5} {
				for _, v := range []float64{target * (1 - fraction*x), target * (1 + fraction*x)} {
					if v > 0 {
						l.Reset()
						l.Values[slot] = v
						l.Respond()
						least = min(least, math.Abs(l.Errors[slot]))
					}
				}
			}
			got := l.CostBeyond(slot, fraction)
			if got > least || got < least-2*Margin && fraction <= 1 {
				t.Errorf("slot %d beyond %v: %v, least seen %v", slot, fraction, got, least)
			}
		}
	}
	// An error that has the same sign on both sides bounds nothing.
	r := &matchtest.Linear{Targets: []float64{10}, Weights: [][]float64{{1}}, Offset: []float64{50}}
	if got := NewLinks(r, 1, r.Targets).CostBeyond(0, 0.1); got != 0 {
		t.Errorf("off its target by 50 %%: %v", got)
	}
}

// manyErrors is a Response that cannot tell one error alone.
type manyErrors struct{ match.Response }

// Beyond the fraction found all costs too much, and but little less far not all.
func TestFractionAt(t *testing.T) {
	m := matchtest.NewMeter(1e-3, 100, matchtest.Circuit{Kind: matchtest.Shunt, Full: []float64{2e-3, 0.5}},
		matchtest.Circuit{Kind: matchtest.Multiplier, Full: []float64{0.2, 100}})
	for _, response := range []match.Response{m, manyErrors{m}} {
		l := NewLinks(response, 4, m.Targets)
		for slot := range m.Targets {
			for _, level := range []float64{1e-6, 0.3, 5, 30} {
				f := l.FractionAt(slot, level, 3)
				if got := l.CostBeyond(slot, f); f == 3 || got < level {
					t.Errorf("slot %d costs %v beyond %v, want %v", slot, got, f, level)
				}
				if got := l.CostBeyond(slot, f*0.97); got >= level {
					t.Errorf("slot %d costs %v already beyond %v", slot, got, f*0.97)
				}
				if got := l.FractionAt(slot, level, f*0.9); got != f*0.9 {
					t.Errorf("slot %d: %v within %v", slot, got, f*0.9)
				}
			}
			if got := l.FractionAt(slot, math.Inf(1), 0.2); got != 0.2 {
				t.Errorf("slot %d: %v for no level", slot, got)
			}
		}
	}
}

// What is cut off can never do: a ring and a chain at random points of the
// first windows that come within the level must lie in the narrowed ones, and
// those must not be much wider than what comes within it.
func TestNarrow(t *testing.T) {
	m := matchtest.NewMeter(1e-3, 100, matchtest.Circuit{Kind: matchtest.Ring, Full: []float64{2e-3, 10e-3, 50e-3}},
		matchtest.Circuit{Kind: matchtest.Chain, Full: []float64{1, 5, 20}})
	n := len(m.Targets)
	l := NewLinks(m, n, m.Targets)
	rng := rand.New(rand.NewPCG(1, 1))
	for _, level := range []float64{20, 3, 0.1, 1e-4} {
		lo, hi := make([]float64, n), make([]float64, n)
		for i, target := range m.Targets {
			lo[i], hi[i] = target*0.7, target*1.3
		}
		if !l.Narrow(lo, hi, []int{0, 1, 2, 3, 4, 5}, level) {
			t.Fatal("nothing comes within", level)
		}
		inside, errors := 0, make([]float64, n)
		for range 100000 {
			ohms, in := make([]float64, n), true
			for i, target := range m.Targets {
				ohms[i] = target * (1 + 0.03*level*(2*rng.Float64()-1))
				in = in && math.Abs(ohms[i]/target-1) < 0.3
			}
			m.Errors(errors, ohms)
			if !in || slices.ContainsFunc(errors, func(e float64) bool { return math.Abs(e) > level }) {
				continue
			}
			inside++
			for i, v := range ohms {
				if v < lo[i] || v > hi[i] {
					t.Fatalf("level %v: slot %d at %v is cut off, from %v to %v", level, i, v, lo[i], hi[i])
				}
			}
		}
		if inside < 100 {
			t.Errorf("level %v: only %d points inside", level, inside)
		}
		for i, target := range m.Targets {
			if level < 1 && hi[i]-lo[i] > 0.2*level*target {
				t.Errorf("level %v: slot %d from %v to %v of %v", level, i, lo[i], hi[i], target)
			}
		}
	}
	lo, hi := slices.Clone(m.Targets), slices.Clone(m.Targets)
	lo[0], hi[0] = 1.5*lo[0], 2*hi[0]
	if l.Narrow(lo, hi, []int{0, 1, 2, 3, 4, 5}, 0.1) {
		t.Errorf("a ring with twice its first section: %v to %v", lo, hi)
	}
}
