package node

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
		g := NewGauge(t.Context(), Spec{Parts: 9, Lists: around(m.Targets), Ranges: 3, Response: response})
		want := make([]float64, 3)
		m.Errors(want, g.Values)
		if want[0] == 0 {
			t.Fatal("the first candidates are 10 % off")
		}
		for r, e := range want {
			if got := g.Eval(int32(r)); got != e || g.Work != r+1 {
				t.Errorf("range %d: %v after %d; want %v", r, got, g.Work, e)
			}
		}
		if g.EvalAll(); !slices.Equal(g.Errors, want) || g.Work != 4 {
			t.Errorf("errors %v after %d; want %v", g.Errors, g.Work, want)
		}
		for r, slots := range g.Links.Slots {
			for i, s := range slots {
				if g.Links.Rising[r][i] != int8(m.Rising(r, int(s))) || !slices.Contains(g.Links.Ranges[s], int32(r)) {
					t.Errorf("range %d and slot %d: %+v", r, s, g.Links)
				}
			}
		}
	}
}

func TestMeasure(t *testing.T) {
	m := meter()
	for _, limits := range []Limits{nil, steady{}} {
		g := NewGauge(t.Context(), Spec{Parts: 9, Lists: around(m.Targets), Ranges: 3, Response: m, Limits: limits})
		if g.Floors != (limits != nil) || g.Floors != (g.Attributes == 1) {
			t.Errorf("floors %v, %d attributes", g.Floors, g.Attributes)
		}
		p := g.Measure([]int32{0, 1, Open}, []bool{true, false, true})
		want := make([]float64, 3)
		m.Errors(want, []float64{0.9 * m.Targets[0], m.Targets[1], 0.9 * m.Targets[2]})
		costs := []float64{math.Abs(want[0]), math.Abs(want[2])}
		if limits != nil {
			costs[0], costs[1] = costs[0]+1, costs[1]+3
		}
		slices.Sort(costs)
		slices.Reverse(costs)
		if p.Parts != 2 || p.Errors[0] != want[0] || !math.IsNaN(p.Errors[1]) || p.Errors[2] != want[2] || !slices.Equal(p.Costs, costs) {
			t.Errorf("%+v; want errors %v, costs %v", p, want, costs)
		}
		if l := p.limit(2); limits == nil && l != 0 || limits != nil && l != 3 {
			t.Errorf("limit %v", l)
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
	for want, spec := range map[string]Spec{
		"gives -Inf % for range 1":     {Response: broken{m}},
		"limit of range 0 is NaN %":    {Response: m, Limits: steady{math.NaN()}},
		"limit of range 0 is -1 % for": {Response: m, Limits: steady{-1}},
	} {
		spec.Parts, spec.Lists, spec.Ranges = 9, around(m.Targets), 3
		g := NewGauge(t.Context(), spec)
		if p := g.Measure([]int32{2, 1, 1}, []bool{true, true, true}); p != nil || !g.Ended || g.Err == nil || !strings.Contains(g.Err.Error(), want) {
			t.Errorf("%v, %v; want %q", p, g.Err, want)
		}
	}
}

// The end of the context must be seen within some evaluations, and at once
// where that is asked.
func TestGaugeEnds(t *testing.T) {
	m := meter()
	ctx, cancel := context.WithCancel(t.Context())
	g := NewGauge(ctx, Spec{Parts: 9, Lists: around(m.Targets), Ranges: 3, Response: m})
	for range 1000 {
		g.Eval(0)
	}
	if g.Ended || g.Over() {
		t.Error("ended too early")
	}
	cancel()
	for range 200 {
		g.Eval(0)
	}
	if !g.Ended {
		t.Error("200 evaluations after the end")
	}
	if g := NewGauge(ctx, Spec{}); !g.Over() {
		t.Error("not over")
	}
}

func TestRecord(t *testing.T) {
	told := 0
	r := &Record{Gauge: NewGauge(t.Context(), Spec{}), Budget: 10, Gap: 1, Tell: func() { told++ }}
	if !math.IsNaN(r.Worst()) || !math.IsNaN(r.Bound()) || r.Filled() != 0 || r.Stop() {
		t.Errorf("without a plan: %+v", r)
	}
	r.Improve(&Plan{Chosen: []int32{3, Open, 0}, Costs: []float64{5, 2}})
	r.Raise(3)
	r.Raise(1)
	if r.Filled() != 2 || r.Worst() != 5 || r.Bound() != 3 || told != 2 {
		t.Errorf("worst %v, bound %v, %d filled, told %d times", r.Worst(), r.Bound(), r.Filled(), told)
	}
	r.Work = 10
	if r.Stop() {
		t.Error("stops with a gap of 2")
	}
	if r.Raise(4); !r.Stop() {
		t.Error("goes on with a gap of 1")
	}
	if r.Work = 9; r.Stop() {
		t.Error("stops within the budget")
	}
	r.Low, r.Proven = 4.9, true
	if r.Bound() != 5 {
		t.Errorf("bound %v of what is proven", r.Bound())
	}
	if r.Good = true; r.Bound() != 4.9 {
		t.Errorf("bound %v of what is good enough", r.Bound())
	}
}
