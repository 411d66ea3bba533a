package branch

import (
	"math"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
)

// someFrame has three slots: the first moves both ranges, the second the last one,
// the third none.
func someFrame(t *testing.T) *frame {
	t.Helper()
	list := make([]Candidate, 300)
	for i := range list {
		list[i] = Candidate{Value: float64(i + 1), Parts: []int32{int32(i % 7)}, Attributes: []float64{float64(-i)}}
	}
	r := &matchtest.Linear{Targets: []float64{10, 20, 30}, Weights: [][]float64{{1, 0, 0}, {1, -1, 0}}, Offset: []float64{0, 0}}
	f := newFrame(newGauge(t.Context(), Problem{Parts: 7, Slots: [][]Candidate{list, list[:5], list}, Ranges: 2, Response: r}))
	f.goal = goal{rest: 3, parts: math.MaxInt}
	f.scenario = &scenario{must: []bool{true, true, false}, whole: []bool{false, true}, ranges: []int32{1}, open: 1}
	return f
}

func TestStart(t *testing.T) {
	f := someFrame(t)
	n := newNode(f.gauge)
	if !f.start(n, all(f.gauge)) {
		t.Fatal("nothing is possible")
	}
	if !slices.Equal(n.lo, []float64{1, 1, 1}) || !slices.Equal(n.hi, []float64{300, 5, 300}) || &n.lo[0] != &n.box.Lo[0] {
		t.Errorf("windows from %v to %v", n.lo, n.hi)
	}
	if n.ajar != 1 || n.level(1) != 3+match.Rounding || n.owner[3] != nobody || n.chosen[0] != undecided {
		t.Errorf("%+v", n)
	}
	if f.stale != 1 || f.take(0) || !f.take(1) || f.take(1) || f.stale != 0 {
		t.Error("the range that is to be whole is not looked at once")
	}
	lists := all(f.gauge)
	if lists[2] = nil; !f.start(n, lists) || n.chosen[2] != open || n.ajar != 0 {
		t.Errorf("a slot without candidates is %v, and %d more may be", n.chosen[2], n.ajar)
	}
	if lists[1] = nil; f.start(n, lists) {
		t.Error("a slot that must be filled has no candidate")
	}
}

// A slot must be filled where the scenario says so, where it is held, and where
// no more may stay open; one that moves no range that is to be whole is always
// looked at in full.
func TestBoundAndShort(t *testing.T) {
	f := someFrame(t)
	n := newNode(f.gauge)
	f.start(n, all(f.gauge))
	if !f.bound(n, 0) || f.bound(n, 2) {
		t.Error("bound though it may stay open, or not though it must be filled")
	}
	if f.held[2] = true; !f.bound(n, 2) || f.held[1] {
		t.Error("held and not bound")
	}
	if f.held[2], n.ajar = false, 0; !f.bound(n, 2) {
		t.Error("nothing more may stay open, and it is not bound")
	}
	if f.short(n, 0) || !f.short(n, 1) || !f.short(n, 2) {
		t.Error("300 candidates are looked at one by one, or five, or those that move nothing, are not")
	}
	if n.narrow(0, n.live[0][:long], &f.tables[0]); !f.short(n, 0) {
		t.Errorf("%d candidates are too many", long)
	}
}

func TestTouch(t *testing.T) {
	f := someFrame(t)
	f.touch(2)
	if f.stale != 0 {
		t.Error("a slot that moves nothing makes ranges stale")
	}
	f.touch(0)
	f.touch(1)
	if f.stale != 1 {
		t.Errorf("%d stale ranges; want the one that is to be whole", f.stale)
	}
	if f.forget(); f.stale != 0 || f.take(1) {
		t.Error("not forgotten")
	}
}
