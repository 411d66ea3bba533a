package reading

import (
	"math"

	"shuntwright/meter"
)

// candidate is a cause with the coordinate in which it is fitted:
//
//	resistance          u = R/(R + scale), from 0, a short, to 1, a break
//	full-scale current  q = from/implied, from 0, a movement that does not move
//	zero, friction      fraction of full scale
//
// The gain of a range is a fraction of linear functions of each single
// resistance, so with the right scale it is a straight line in u.
type candidate struct {
	Cause
	from         float64 // ohms or amperes
	scale        float64 // ohms
	start        float64 // coordinate of from
	lower, upper float64
	rank         int // plausibility, see below
}

// What is to be suspected first where readings cannot tell: shunts and
// multipliers before the movement, for movements seldom change (common
// practice); last a wrong zero or friction, for the zero is set, and the glass
// tapped, before anything is read.
const (
	aPart = iota
	aContact
	theMovement
	thePointer
)

func (c *candidate) ohms(u float64) float64 {
	if u >= 1 {
		return math.Inf(1)
	}
	return c.scale * u / (1 - u)
}

func (c *candidate) coordinate(ohms float64) float64 {
	if math.IsInf(ohms, 1) {
		return 1
	}
	return ohms / (ohms + c.scale)
}

// candidates lists every cause that can move some reading.
func (s *system) candidates() []*candidate {
	var out []*candidate
	for i, r := range s.m.Resistors() {
		if c := s.resistance(i, r); c != nil {
			out = append(out, c)
		}
	}
	out = append(out, &candidate{Cause: Cause{FullScale, -1, "full-scale current"}, from: s.state.FullScaleAmperes, start: 1, upper: math.Inf(1), rank: theMovement},
		&candidate{Cause: Cause{Zero, -1, "zero"}, lower: math.Inf(-1), upper: math.Inf(1), rank: thePointer})
	if s.friction {
		out = append(out, &candidate{Cause: Cause{Friction, -1, "friction"}, upper: math.Inf(1), rank: thePointer})
	}
	return out
}

// resistance makes a cause of a resistor; nil where it is not known, or moves
// no range that was read. A swamping resistor of nothing is none; that it grows
// is the same as that the coil does.
func (s *system) resistance(i int, r meter.Resistor) *candidate {
	from := s.state.Ohms[i]
	if !finite(from) || from < 0 || r.Use == meter.Swamp && from == 0 {
		return nil
	}
	c := &candidate{Cause: Cause{Resistance, i, r.Name}, from: from, upper: 1}
	switch r.Use {
	case meter.Coil:
		c.rank = theMovement
	case meter.Contact:
		c.rank = aContact
	}
	middle := from
	if middle == 0 {
		middle = s.m.Movement.CoilOhms
	}
	c.scale = middle
	short, half, open := make([]float64, s.features()), make([]float64, s.features()), make([]float64, s.features())
	one := []*candidate{c}
	s.at(short, one, []float64{0})
	s.at(half, one, []float64{0.5})
	s.at(open, one, []float64{1})
	moves := false
	for k := range s.ranges {
		// gain = open + slope/(R + pole)
		pole := middle * (open[k] - half[k]) / (half[k] - short[k])
		if short[k] == half[k] && half[k] == open[k] || math.IsNaN(pole) {
			continue
		}
		if moves = true; pole > 0 && !math.IsInf(pole, 1) {
			c.scale = pole
			break
		}
	}
	if !moves {
		return nil
	}
	c.start = c.coordinate(from)
	return c
}
