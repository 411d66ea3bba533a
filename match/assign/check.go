package assign

import (
	"fmt"
	"math"

	"shuntwright/match/assign/sat"
)

// mostPoints is how many points a candidate has at most; each is a unit of a
// resource.
const mostPoints = 1 << 10

// check returns an error for the first thing in p that is not as the fields of
// Problem and Candidate say.
func (p Problem) check() error {
	if p.Parts < 0 || p.Parts > math.MaxInt32 {
		return fmt.Errorf("assign: %d parts; want 0 to %d", p.Parts, math.MaxInt32)
	}
	if !(p.Enough >= 0) || math.IsInf(p.Enough, 0) {
		return fmt.Errorf("assign: enough is %v; want a finite cost, or 0 for none", p.Enough)
	}
	if p.First != nil && len(p.First) != len(p.Positions) {
		return fmt.Errorf("assign: a first choice of %d for %d positions", len(p.First), len(p.Positions))
	}
	for i, list := range p.Positions {
		for j, c := range list {
			if err := c.check(p.Parts); err != nil {
				return fmt.Errorf("assign: position %d, candidate %d: %w", i, j, err)
			}
		}
	}
	return nil
}

func (c Candidate) check(parts int) error {
	if !(c.Cost >= 0) || math.IsInf(c.Cost, 0) {
		return fmt.Errorf("cost %v; want a finite one, not negative", c.Cost)
	}
	if c.Points < 0 || c.Points > mostPoints {
		return fmt.Errorf("%d points; want 0 to %d", c.Points, mostPoints)
	}
	return sat.CheckParts(c.Parts, parts)
}
