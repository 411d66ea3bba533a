package branch

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
)

// meter is a ring of three; its targets are exact.
func meter() *matchtest.Meter {
	return matchtest.NewMeter(1e-3, 100, matchtest.Circuit{Kind: matchtest.Ring, Full: []float64{2e-3, 10e-3, 50e-3}})
}

// around returns for each target three candidates: 10 % below, there, 20 %
// above, each with one part of its own.
func around(targets []float64) [][]Candidate {
	lists := make([][]Candidate, len(targets))
	for s, v := range targets {
		for i, f := range []float64{0.9, 1, 1.2} {
			lists[s] = append(lists[s], Candidate{Value: v * f, Parts: []int32{int32(3*s + i)}, Attributes: []float64{f}})
		}
	}
	return lists
}

// whole hides that a meter can tell the error of one range alone.
type whole struct{ match.Response }

// steady trusts range r within r + 1 %, but for one candidate where it fails.
type steady struct{ limit float64 }

func (l steady) Limits(dst []float64, chosen []int) {
	for r := range dst {
		dst[r] = float64(r + 1)
		if chosen[0] == 2 {
			dst[r] = l.limit
		}
	}
}

func (steady) Floor(int, *match.Box) float64 { return 0 }

// Both ways of asking must say what the response itself says, and count.
func TestGauge(t *testing.T) {
	m := meter()
	for _, response := range []match.Response{m, whole{m}} {
		g := newGauge(t.Context(), Problem{Parts: 9, Slots: around(m.Targets), Ranges: 3, Response: response})
		want := make([]float64, 3)
		m.Errors(want, g.values)
		if want[0] == 0 {
			t.Fatal("the first candidates are 10 % off")
		}
		for r, e := range want {
			if got := g.eval(int32(r)); got != e || g.work != r+1 {
				t.Errorf("range %d: %v after %d; want %v", r, got, g.work, e)
			}
		}
		if g.evalAll(); !slices.Equal(g.errors, want) || g.work != 4 {
			t.Errorf("errors %v after %d; want %v", g.errors, g.work, want)
		}
		for r, slots := range g.links.slots {
			for i, s := range slots {
				if g.links.rising[r][i] != int8(m.Rising(r, int(s))) || !slices.Contains(g.links.ranges[s], int32(r)) {
					t.Errorf("range %d and slot %d: %+v", r, s, g.links)
				}
			}
		}
	}
}

func TestMeasure(t *testing.T) {
	m := meter()
	for _, limits := range []Limits{nil, steady{}} {
		g := newGauge(t.Context(), Problem{Parts: 9, Slots: around(m.Targets), Ranges: 3, Response: m, Limits: limits})
		if g.floors != (limits != nil) || g.floors != (g.attributes == 1) {
			t.Errorf("floors %v, %d attributes", g.floors, g.attributes)
		}
		p := g.measure([]int32{0, 1, open}, []bool{true, false, true})
		want := make([]float64, 3)
		m.Errors(want, []float64{0.9 * m.Targets[0], m.Targets[1], 0.9 * m.Targets[2]})
		costs := []float64{math.Abs(want[0]), math.Abs(want[2])}
		if limits != nil {
			costs[0], costs[1] = costs[0]+1, costs[1]+3
		}
		slices.Sort(costs)
		slices.Reverse(costs)
		if p.parts != 2 || p.errors[0] != want[0] || !math.IsNaN(p.errors[1]) || p.errors[2] != want[2] || !slices.Equal(p.costs, costs) {
			t.Errorf("%+v; want errors %v, costs %v", p, want, costs)
		}
	}
}

// broken is a response that says nothing of range 1.
type broken struct{ *matchtest.Meter }

func (b broken) Errors(dst, ohms []float64) {
	b.Meter.Errors(dst, ohms)
	dst[1] = math.Inf(-1)
}

func TestMeasureFails(t *testing.T) {
	m := meter()
	for want, spec := range map[string]Problem{
		"gives -Inf % for range 1":     {Response: broken{m}},
		"limit of range 0 is NaN %":    {Response: m, Limits: steady{math.NaN()}},
		"limit of range 0 is -1 % for": {Response: m, Limits: steady{-1}},
	} {
		spec.Parts, spec.Slots, spec.Ranges = 9, around(m.Targets), 3
		g := newGauge(t.Context(), spec)
		if p := g.measure([]int32{2, 1, 1}, []bool{true, true, true}); p != nil || !g.ended || g.err == nil || !strings.Contains(g.err.Error(), want) {
			t.Errorf("%v, %v; want %q", p, g.err, want)
		}
	}
}

// The end of the context must be seen within some evaluations, and at once
// where that is asked.
func TestGaugeEnds(t *testing.T) {
	m := meter()
	ctx, cancel := context.WithCancel(t.Context())
	g := newGauge(ctx, Problem{Parts: 9, Slots: around(m.Targets), Ranges: 3, Response: m})
	for range 1000 {
		g.eval(0)
	}
	if g.ended || g.over() {
		t.Error("ended too early")
	}
	cancel()
	for range 200 {
		g.eval(0)
	}
	if !g.ended {
		t.Error("200 evaluations after the end")
	}
	if g := newGauge(ctx, Problem{}); !g.over() {
		t.Error("not over")
	}
}

func TestRecord(t *testing.T) {
	told := 0
	r := &record{gauge: newGauge(t.Context(), Problem{}), budget: 10, gap: 1, tell: func() { told++ }}
	if !math.IsNaN(r.worst()) || !math.IsNaN(r.bound()) || r.filled() != 0 || r.stop() {
		t.Errorf("without a plan: %+v", r)
	}
	r.improve(&measured{chosen: []int32{3, open, 0}, costs: []float64{5, 2}})
	r.raise(3)
	r.raise(1)
	if r.filled() != 2 || r.worst() != 5 || r.bound() != 3 || told != 2 {
		t.Errorf("worst %v, bound %v, %d filled, told %d times", r.worst(), r.bound(), r.filled(), told)
	}
	r.work = 10
	if r.stop() {
		t.Error("stops with a gap of 2")
	}
	if r.raise(4); !r.stop() {
		t.Error("goes on with a gap of 1")
	}
	if r.work = 9; r.stop() {
		t.Error("stops within the budget")
	}
	r.low, r.proven = 4.9, true
	if r.bound() != 5 {
		t.Errorf("bound %v of what is proven", r.bound())
	}
	if r.good = true; r.bound() != 4.9 {
		t.Errorf("bound %v of what is good enough", r.bound())
	}
}
