package branch

import (
	"fmt"
	"math"
)

// Candidate is one way of filling a slot.
type Candidate struct {
	Value      float64   // finite
	Parts      []int32   // ascending, distinct, each below the number of parts; may be empty
	Attributes []float64 // what limits depend on beside the value: finite, as many for all candidates
}

// check returns an error for the first candidate with a number that is not finite.
func (p Problem) check() error {
	for i, slot := range p.Slots {
		for j, c := range slot {
			sum := c.Value
			for _, v := range c.Attributes {
				sum += math.Abs(v)
			}
			if math.IsNaN(sum) || math.IsInf(sum, 0) {
				return fmt.Errorf("branch: slot %d, candidate %d: value %v, attributes %v; want finite ones", i, j, c.Value, c.Attributes)
			}
		}
	}
	return nil
}
