package branch

import (
	"math"
	"slices"
	"testing"

	"shuntwright/match"
)

func TestSpan(t *testing.T) {
	table := newAttributes(2)
	for _, attributes := range [][]float64{{1, -5}, {3, 2}, {2, 7}} {
		table.add(attributes)
	}
	if table.at(2, 0) != 2 || table.at(0, 1) != -5 {
		t.Errorf("attributes %v and %v; want 2 and -5", table.at(2, 0), table.at(0, 1))
	}
	for _, test := range []struct {
		list        []int32
		least, most []float64
	}{
		{[]int32{0, 1, 2}, []float64{1, -5}, []float64{3, 7}},
		{[]int32{2}, []float64{2, 7}, []float64{2, 7}},
		{nil, []float64{math.Inf(1), math.Inf(1)}, []float64{math.Inf(-1), math.Inf(-1)}},
	} {
		least, most := make([]float64, 2), make([]float64, 2)
		if table.span(least, most, test.list); !slices.Equal(least, test.least) || !slices.Equal(most, test.most) {
			t.Errorf("%v: from %v to %v; want %v to %v", test.list, least, most, test.least, test.most)
		}
	}
}

func TestCopyIsACopy(t *testing.T) {
	a, b := match.NewBox(2, 3), match.NewBox(2, 3)
	a.Lo[1], a.Hi[1], a.Least[1][2], a.Most[0][0] = 1, 2, 3, 4
	b.Copy(a)
	a.Lo[1], a.Hi[1], a.Least[1][2], a.Most[0][0] = 0, 0, 0, 0
	if b.Lo[1] != 1 || b.Hi[1] != 2 || b.Least[1][2] != 3 || b.Most[0][0] != 4 {
		t.Errorf("%+v", b)
	}
	if b.Least[0] = append(b.Least[0], 9); b.Least[1][0] != 0 && len(b.Least[1]) == 3 {
		t.Errorf("rows run into one another: %+v", b)
	}
}
