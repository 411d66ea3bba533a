package branch

import (
	"math"
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

func TestRecord(t *testing.T) {
	told := 0
	r := &record{gauge: newGauge(t.Context(), Problem{}), tell: func() { told++ }}
	r.improve(&measured{chosen: []int32{3, open, 0}, costs: []float64{5, 2}})
	r.raise(3)
	r.raise(1)
	if r.filled() != 2 || r.worst() != 5 || r.bound() != 3 || told != 2 {
		t.Errorf("worst %v, bound %v, %d filled, told %d times", r.worst(), r.bound(), r.filled(), told)
	}
	r.low, r.proven = 4.9, true
	if r.bound() != 5 {
		t.Errorf("bound %v of what is proven", r.bound())
	}
	if r.good = true; r.bound() != 4.9 {
		t.Errorf("bound %v of what is good enough", r.bound())
	}
}
