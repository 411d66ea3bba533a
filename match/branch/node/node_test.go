package node

import (
	"math"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
)

// frame has three slots: the first moves both ranges, the second the last one,
// the third none.
func frame(t *testing.T) *Frame {
	t.Helper()
	list := make([]Candidate, 300)
	for i := range list {
		list[i] = Candidate{Value: float64(i + 1), Parts: []int32{int32(i % 7)}, Attributes: []float64{float64(-i)}}
	}
	r := &matchtest.Linear{Targets: []float64{10, 20, 30}, Weights: [][]float64{{1, 0, 0}, {1, -1, 0}}, Offset: []float64{0, 0}}
	f := NewFrame(NewGauge(t.Context(), Spec{Parts: 7, Lists: [][]Candidate{list, list[:5], list}, Ranges: 2, Response: r}))
	f.Goal = Goal{Rest: 3, Parts: math.MaxInt}
	f.Case = &Scenario{Must: []bool{true, true, false}, Whole: []bool{false, true}, Ranges: []int32{1}, Open: 1}
	return f
}

// all lists the candidates of all slots.
func all(f *Frame) [][]int32 {
	lists := make([][]int32, len(f.Tables))
	for s := range lists {
		lists[s] = f.Tables[s].All()
	}
	return lists
}

func TestStart(t *testing.T) {
	f := frame(t)
	n := New(f.Gauge)
	if !f.Start(n, all(f)) {
		t.Fatal("nothing is possible")
	}
	if !slices.Equal(n.Lo, []float64{1, 1, 1}) || !slices.Equal(n.Hi, []float64{300, 5, 300}) || &n.Lo[0] != &n.Box.Lo[0] {
		t.Errorf("windows from %v to %v", n.Lo, n.Hi)
	}
	if n.Ajar != 1 || n.Level(1) != 3+match.Rounding || n.Owner[3] != Nobody || n.Chosen[0] != Undecided {
		t.Errorf("%+v", n)
	}
	if f.Stale != 1 || f.Take(0) || !f.Take(1) || f.Take(1) || f.Stale != 0 {
		t.Error("the range that is to be whole is not looked at once")
	}
	lists := all(f)
	if lists[2] = nil; !f.Start(n, lists) || n.Chosen[2] != Open || n.Ajar != 0 {
		t.Errorf("a slot without candidates is %v, and %d more may be", n.Chosen[2], n.Ajar)
	}
	if lists[1] = nil; f.Start(n, lists) {
		t.Error("a slot that must be filled has no candidate")
	}
}

// A slot must be filled where the scenario says so, where it is held, and where
// no more may stay open; one that moves no range that is to be whole is always
// looked at in full.
func TestBoundAndShort(t *testing.T) {
	f := frame(t)
	n := New(f.Gauge)
	f.Start(n, all(f))
	if !f.Bound(n, 0) || f.Bound(n, 2) {
		t.Error("bound though it may stay open, or not though it must be filled")
	}
	if f.Held[2] = true; !f.Bound(n, 2) || f.Held[1] {
		t.Error("held and not bound")
	}
	if f.Held[2], n.Ajar = false, 0; !f.Bound(n, 2) {
		t.Error("nothing more may stay open, and it is not bound")
	}
	if f.Short(n, 0) || !f.Short(n, 1) || !f.Short(n, 2) {
		t.Error("300 candidates are looked at one by one, or five, or those that move nothing, are not")
	}
	if n.Narrow(0, n.Live[0][:Long], &f.Tables[0]); !f.Short(n, 0) {
		t.Errorf("%d candidates are too many", Long)
	}
}

func TestTouch(t *testing.T) {
	f := frame(t)
	f.Touch(2)
	if f.Stale != 0 {
		t.Error("a slot that moves nothing makes ranges stale")
	}
	f.Touch(0)
	f.Touch(1)
	if f.Stale != 1 {
		t.Errorf("%d stale ranges; want the one that is to be whole", f.Stale)
	}
	if f.Forget(); f.Stale != 0 || f.Take(1) {
		t.Error("not forgotten")
	}
}

// What a child loses its parent must keep.
func TestFollow(t *testing.T) {
	f := frame(t)
	up, n := New(f.Gauge), New(f.Gauge)
	f.Start(up, all(f))
	up.Caps[1], up.Floor[1], up.Least[1], up.Most[1], up.Seen[0], up.Owner[2] = 9, 1, 2, 8, 5, 1
	n.Follow(up)
	if n.Level(1) != 8+match.Rounding || n.Least[1] != 2 || n.Most[1] != 8 || n.Seen[0] != 5 || n.Owner[2] != 1 || n.Ajar != 1 || n.Hi[0] != 300 {
		t.Errorf("%+v", n)
	}
	even := func(c int32) bool { return c%2 == 0 }
	if !n.Filter(0, &f.Tables[0], even) || n.Filter(0, &f.Tables[0], even) || len(n.Live[0]) != 150 || n.Hi[0] != 299 {
		t.Errorf("%d left, up to %v", len(n.Live[0]), n.Hi[0])
	}
	if !n.Filter(0, &f.Tables[0], func(c int32) bool { return c > 4 && c%3 == 0 }) || len(n.Live[0]) != 49 || n.Lo[0] != 7 || n.Hi[0] != 295 {
		t.Errorf("%d left, from %v to %v", len(n.Live[0]), n.Lo[0], n.Hi[0])
	}
	n.Chosen[0], n.Owner[0], n.Caps[1] = 3, 0, 1
	if len(up.Live[0]) != 300 || !slices.IsSorted(up.Live[0]) || up.Live[0][299] != 299 || up.Hi[0] != 300 || up.Chosen[0] >= 0 || up.Owner[0] >= 0 || up.Caps[1] != 9 {
		t.Error("the parent has changed")
	}
}
