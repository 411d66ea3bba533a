package meter

import (
	"fmt"
	"slices"

	"shuntwright/meter/quantity"
)

// ring is a universal (Ayrton) shunt: the sections in series lie across the
// movement, and the input goes to a tap. Section i lies between the tap of
// range i and that of the next larger range, the last one between the largest
// range's tap and the common end.
type ring struct {
	ranges []Range
	swamp  float64 // in series with the movement on these ranges only
}

func init() {
	Register(Kind{Name: "ring", Many: true, Units: []quantity.Unit{quantity.Ampere},
		Does: "on one universal (Ayrton) shunt, smallest first", Example: "10 mA,100 mA",
		Fields: []Field{{"swamp", quantity.Ohm, quantity.NotNegative}},
		New:    func(s Spec) (Circuit, error) { return ring{s.Ranges, s.Given["swamp"]}, nil }})
}

func (ring) Kind() string      { return "ring" }
func (c ring) Ranges() []Range { return c.ranges }

func (c ring) Resistors() []Resistor {
	return append(sections("ring", c.ranges), Resistor{Name: "swamp of ring " + c.ranges[0].Name, Use: Swamp, Ohms: c.swamp, Field: "swamp"})
}

// Path: the sections below the tap of range r carry the line current, those
// above it, from the tap up, and the swamping resistor the movement's.
func (c ring) Path(r int) Path {
	n := len(c.ranges)
	return Path{Across: span(r, n), Branch: append(down(r), n)}
}

// Targets: whole ring S = Im·Rm/(I1 − Im), loop L = Rm + S, tap k = Im·L/Ik,
// section k = tap k − tap k+1; the last section is the last tap (Bell,
// Electronic Instrumentation and Measurements, section 3-3). Not the
// approximation with I in place of I − Im, which makes every range larger by
// Im.
func (c ring) Targets(mv Movement) ([]float64, error) {
	im, branch := mv.FullScaleAmperes, mv.Ohms()+c.swamp
	first := c.ranges[0].FullScale
	if first <= im {
		return nil, tooSmall(c.ranges[0], mv, "a ring")
	}
	if err := rising(c.ranges, "current"); err != nil {
		return nil, err
	}
	loop := branch + im*branch/(first-im)
	out := make([]float64, len(c.ranges))
	for i := range out {
		this := c.ranges[i].FullScale
		out[i] = im * loop / this
		if i+1 < len(out) {
			next := c.ranges[i+1].FullScale
			out[i] *= (next - this) / next
		}
	}
	return out, nil
}

// rising refuses ranges that are not listed from the smallest to the largest: a
// section would be zero or negative.
func rising(ranges []Range, what string) error {
	for i := 1; i < len(ranges); i++ {
		if ranges[i].FullScale <= ranges[i-1].FullScale {
			return &CannotServe{ranges[i].Name, fmt.Sprintf("it stands after %q and is not larger; list the ranges from the smallest %s to the largest",
				ranges[i-1].Name, what)}
		}
	}
	return nil
}

// position is a resistor that a network fills.
func position(name, key string) Resistor {
	return Resistor{Name: name, Use: Fitted, Ohms: nan, Key: key}
}

// sections are the positions of a circuit that has one for each range.
func sections(kind string, ranges []Range) []Resistor {
	var out []Resistor
	for _, r := range ranges {
		out = append(out, position(kind+" "+r.Name, r.Name))
	}
	return out
}

// span lists from, from+1, … up to but not including to.
func span(from, to int) []int {
	var out []int
	for i := from; i < to; i++ {
		out = append(out, i)
	}
	return out
}

// down lists the indexes below n from the largest to 0.
func down(n int) []int {
	out := span(0, n)
	slices.Reverse(out)
	return out
}
