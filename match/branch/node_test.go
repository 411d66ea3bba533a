package branch

import (
	"testing"

	"shuntwright/match/matchtest"
)

// Of three slots the first moves both ranges, the second the last one, the third
// none: it is looked at in full, the others where they have few candidates.
func TestShort(t *testing.T) {
	list := make([]Candidate, 300)
	for i := range list {
		list[i] = Candidate{Value: float64(i + 1), Parts: []int32{int32(i % 7)}}
	}
	r := &matchtest.Linear{Targets: []float64{10, 20, 30}, Weights: [][]float64{{1, 0, 0}, {1, -1, 0}}, Offset: []float64{0, 0}}
	f := newFrame(newGauge(t.Context(), Problem{Parts: 7, Slots: [][]Candidate{list, list[:5], list}, Ranges: 2, Response: r}))
	f.goal = anything
	f.scenario = &scenario{must: []bool{true, true, false}, whole: []bool{false, true}, ranges: []int32{1}, open: 1}
	n := newNode(f.gauge)
	f.start(n, all(f.gauge))
	if f.short(n, 0) || !f.short(n, 1) || !f.short(n, 2) {
		t.Error("300 candidates are looked at one by one, or five, or those that move nothing, are not")
	}
	if n.narrow(0, n.live[0][:long], &f.tables[0]); !f.short(n, 0) {
		t.Errorf("%d candidates are too many", long)
	}
}
