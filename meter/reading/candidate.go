package reading

import (
	"cmp"
	"math"
	"slices"

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
	others       []float64 // further coordinates at which a search should begin
	rank         int       // plausibility, see below
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
	q := &candidate{Cause: Cause{FullScale, -1, "full-scale current"}, from: s.state.FullScaleAmperes, start: 1, upper: math.Inf(1), rank: theMovement}
	theta := make([]float64, s.features())
	s.at(theta, nil, nil)
	for k, gain := range s.measured() {
		if theta[k] > 0 {
			q.others = append(q.others, gain/theta[k])
		}
	}
	out = append(out, q, &candidate{Cause: Cause{Zero, -1, "zero"}, lower: math.Inf(-1), upper: math.Inf(1), rank: thePointer})
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
	var starts []float64
	scale := 0.0
	for k, gain := range s.measured() {
		// gain = open + slope/(R + pole)
		pole := middle * (open[k] - half[k]) / (half[k] - short[k])
		if short[k] == half[k] && half[k] == open[k] || math.IsNaN(pole) {
			continue
		}
		starts = append(starts, (half[k]-open[k])*(middle+pole)/(gain-open[k])-pole)
		if scale == 0 && pole > 0 && !math.IsInf(pole, 1) {
			scale = pole
		}
	}
	if len(starts) == 0 {
		return nil
	}
	if scale > 0 {
		c.scale = scale
	}
	c.start = c.coordinate(from)
	c.others = []float64{0, 1}
	for _, ohms := range starts {
		if ohms > 0 {
			c.others = append(c.others, c.coordinate(ohms))
		}
	}
	return c
}

// fitOne fits one cause while others stand as they are: its coordinate is the
// last of setting. It searches downhill from the two best of what is known
// about it: as it should be, broken, shorted, and what each range by itself
// implies.
func (s *system) fitOne(causes []*candidate, setting []float64) ([]float64, float64) {
	last := len(causes) - 1
	c, p := causes[last], s.problem(causes)
	for i := range last {
		p.lower[i], p.upper[i] = setting[i], setting[i]
	}
	type begin struct{ at, sum float64 }
	var begins []begin
	try := slices.Clone(setting)
	for _, at := range append([]float64{c.start}, c.others...) {
		try[last] = at
		begins = append(begins, begin{at, s.chiSquare(causes, try)})
	}
	slices.SortStableFunc(begins, func(a, b begin) int { return cmp.Compare(a.sum, b.sum) })
	best, sum := setting, math.Inf(1)
	for _, b := range begins[:min(2, len(begins))] {
		try[last] = b.at
		if found, left := p.minimise(try); left < sum {
			best, sum = found, left
		}
	}
	return best, sum + s.data.rest
}
