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

// all lists the candidates of all slots.
func all(f *frame) [][]int32 {
	lists := make([][]int32, len(f.tables))
	for s := range lists {
		lists[s] = f.tables[s].all()
	}
	return lists
}

func TestStart(t *testing.T) {
	f := someFrame(t)
	n := newNode(f.gauge)
	if !f.start(n, all(f)) {
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
	lists := all(f)
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
	f.start(n, all(f))
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

// What a child loses its parent must keep.
func TestFollow(t *testing.T) {
	f := someFrame(t)
	up, n := newNode(f.gauge), newNode(f.gauge)
	f.start(up, all(f))
	up.caps[1], up.floor[1], up.least[1], up.most[1], up.seen[0], up.owner[2] = 9, 1, 2, 8, 5, 1
	n.follow(up)
	if n.level(1) != 8+match.Rounding || n.least[1] != 2 || n.most[1] != 8 || n.seen[0] != 5 || n.owner[2] != 1 || n.ajar != 1 || n.hi[0] != 300 {
		t.Errorf("%+v", n)
	}
	even := func(c int32) bool { return c%2 == 0 }
	if !n.filter(0, &f.tables[0], even) || n.filter(0, &f.tables[0], even) || len(n.live[0]) != 150 || n.hi[0] != 299 {
		t.Errorf("%d left, up to %v", len(n.live[0]), n.hi[0])
	}
	if !n.filter(0, &f.tables[0], func(c int32) bool { return c > 4 && c%3 == 0 }) || len(n.live[0]) != 49 || n.lo[0] != 7 || n.hi[0] != 295 {
		t.Errorf("%d left, from %v to %v", len(n.live[0]), n.lo[0], n.hi[0])
	}
	n.chosen[0], n.owner[0], n.caps[1] = 3, 0, 1
	if len(up.live[0]) != 300 || !slices.IsSorted(up.live[0]) || up.live[0][299] != 299 || up.hi[0] != 300 || up.chosen[0] >= 0 || up.owner[0] >= 0 || up.caps[1] != 9 {
		t.Error("the parent has changed")
	}
}
