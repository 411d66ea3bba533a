package match

import "shuntwright/match/coupled"

// Box is a set of choices: each slot's network has a value from Lo to Hi and
// traits from Least to Most, in the order of LimitFloor.Traits. A slot that
// stays open holds anything.
type Box = coupled.Box

// LimitFloor bounds Problem.Limit from below over many choices at once: without
// that a search of coupled positions could say of no plan that it is the surest
// before it has looked at all that have smaller errors.
type LimitFloor interface {
	// Traits appends numbers to dst on which limits depend, beside the value, if
	// network n is in a slot: finite, and as many of them for every network.
	Traits(dst []float64, slot int, n Network) []float64
	// Floor returns a number in percent, not negative, that the limit of range r
	// is not below for any choice from the box, but by one part in 10^12 for
	// rounding; 0 where nothing is known. The tighter it is where the box is
	// small, the sooner a plan is proven.
	Floor(r int, box *Box) float64
}

// sureness puts Problem.Limit into the words of package coupled.
type sureness struct {
	*planner
	nets  [][]Network // the candidates of every slot
	whole []Network   // room for one choice
}

func (s *sureness) Limits(dst []float64, chosen []int) {
	for i, c := range chosen {
		s.whole[i] = Network{}
		if c >= 0 {
			s.whole[i] = s.nets[i][c]
		}
	}
	s.p.Limit(s.whole, dst)
}

func (s *sureness) Floor(r int, box *coupled.Box) float64 {
	if s.p.LimitFloor == nil {
		return 0
	}
	return s.p.LimitFloor.Floor(r, box)
}

// traits returns the traits of a network in a slot, nil where there are none.
func (pl *planner) traits(slot int, n Network) []float64 {
	if pl.p.Limit == nil || pl.p.LimitFloor == nil {
		return nil
	}
	return pl.p.LimitFloor.Traits(nil, slot, n)
}
