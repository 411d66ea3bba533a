package solve

import (
	"testing"

	"shuntwright/match"
	"shuntwright/match/network"
)

// allowing is the problem with at most so many parts a position.
func allowing(p match.Problem, parts int) match.Problem {
	p.Needs = append([]match.Need(nil), p.Needs...)
	for i := range p.Needs {
		p.Needs[i].AtMost = parts
	}
	return p
}

// A ring and a chain from 80 parts, by fours: 84 million networks a position,
// of which the nearest to the targets have four parts each. That pairs take the
// fewest is proven all the same.
func TestPlanFewPartsOfMany(t *testing.T) {
	s, p := stockOf(t, fiveDecades(80)...), ringAndChain()
	p.Enough = 1
	for parts := 2; parts <= network.MaxParts; parts++ {
		got, err := Plan(t.Context(), s, allowing(p, parts))
		if err != nil || got.End != match.Exact || !(got.Worst <= p.Enough) || got.Parts() != 20 {
			t.Errorf("at most %d parts: %v, worst %v, %d in all, error %v", parts, got.End, got.Worst, got.Parts(), err)
		}
	}
}
