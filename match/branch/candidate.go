package branch

import (
	"fmt"
	"math"

	"shuntwright/match/assign/sat"
)

// Candidate is one way of filling a slot.
type Candidate struct {
	Value      float64   // finite
	Parts      []int32   // ascending, distinct, each below the number of parts; may be empty
	Attributes []float64 // what limits depend on beside the value: finite, as many for all candidates
}

// check returns an error for the first candidate of a slot that is not as its
// fields say, for so many parts and attributes.
func check(list []Candidate, parts, attributes int) error {
	last := math.Inf(-1)
	for j, c := range list {
		if math.IsNaN(c.Value) || math.IsInf(c.Value, 0) {
			return fmt.Errorf("candidate %d: value %v; want a finite one", j, c.Value)
		}
		if c.Value < last {
			return fmt.Errorf("candidate %d: value %v after %v; want them ascending", j, c.Value, last)
		}
		last = c.Value
		if err := c.check(parts, attributes); err != nil {
			return fmt.Errorf("candidate %d: %w", j, err)
		}
	}
	return nil
}

func (c Candidate) check(parts, attributes int) error {
	if len(c.Attributes) != attributes {
		return fmt.Errorf("%d attributes; want %d as the first has", len(c.Attributes), attributes)
	}
	for _, v := range c.Attributes {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("attributes %v; want finite ones", c.Attributes)
		}
	}
	return sat.CheckParts(c.Parts, parts)
}
