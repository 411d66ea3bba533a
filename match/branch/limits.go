package branch

import (
	"shuntwright/match"
	"shuntwright/match/network"
)

// sureness puts Problem.Limit into the words of Solve.
type sureness struct {
	*planner
	nets  [][]network.Network // the candidates of every slot
	whole []network.Network   // room for one choice
}

func (s *sureness) Limits(dst []float64, chosen []int) {
	for i, c := range chosen {
		s.whole[i] = network.Network{}
		if c >= 0 {
			s.whole[i] = s.nets[i][c]
		}
	}
	s.Limit(s.whole, dst)
}

func (s *sureness) Floor(r int, box *match.Box) float64 {
	if s.LimitFloor == nil {
		return 0
	}
	return s.LimitFloor.Floor(r, box)
}

// attributes returns the attributes of a network in a slot, nil where there are
// none.
func (pl *planner) attributes(slot int, n network.Network) []float64 {
	if pl.Limit == nil || pl.LimitFloor == nil {
		return nil
	}
	return pl.LimitFloor.Attributes(nil, slot, n)
}
