package assign

import (
	"fmt"
	"math"
)

// mostPoints is how many points a candidate has at most; each is a unit of a
// resource.
const mostPoints = 1 << 10

// check returns an error for the first candidate whose cost or points cannot be
// counted.
func (p Problem) check() error {
	for i, list := range p.Positions {
		for j, c := range list {
			if !(c.Cost >= 0) || math.IsInf(c.Cost, 0) || c.Points > mostPoints {
				return fmt.Errorf("assign: position %d, candidate %d: cost %v and %d points; want a finite cost, not negative, and at most %d points",
					i, j, c.Cost, c.Points, mostPoints)
			}
		}
	}
	return nil
}
