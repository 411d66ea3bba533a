package coupled

import (
	"fmt"
	"math"
)

// check returns an error for the first thing in p that is not as the fields of Problem and Candidate say.
func (p Problem) check() error {
	switch {
	case p.Parts < 0 || p.Parts > math.MaxInt32:
		return fmt.Errorf("coupled: %d parts; want 0 to %d", p.Parts, math.MaxInt32)
	case p.Ranges < 0:
		return fmt.Errorf("coupled: %d ranges; want 0 or more", p.Ranges)
	case p.Response == nil && p.Ranges > 0:
		return fmt.Errorf("coupled: no response for %d ranges", p.Ranges)
	case !(p.Enough >= 0) || math.IsInf(p.Enough, 0):
		return fmt.Errorf("coupled: enough is %v %%; want a finite error, or 0 for none", p.Enough)
	case p.Budget <= 0:
		return fmt.Errorf("coupled: budget is %d; want a positive number of evaluations, such as %d", p.Budget, DefaultBudget)
	case !(p.Gap >= 0):
		return fmt.Errorf("coupled: gap is %v; want percentage points, 0 or more", p.Gap)
	}
	for i, slot := range p.Slots {
		if err := slot.check(p.Parts); err != nil {
			return fmt.Errorf("coupled: slot %d, %w", i, err)
		}
	}
	return nil
}

func (s Slot) check(parts int) error {
	last := math.Inf(-1)
	for j, c := range s.Candidates {
		if math.IsNaN(c.Value) || math.IsInf(c.Value, 0) {
			return fmt.Errorf("candidate %d: value %v; want a finite one", j, c.Value)
		}
		if c.Value < last {
			return fmt.Errorf("candidate %d: value %v after %v; want them ascending", j, c.Value, last)
		}
		last = c.Value
		if err := c.check(parts); err != nil {
			return fmt.Errorf("candidate %d: %w", j, err)
		}
	}
	return nil
}

func (c Candidate) check(parts int) error {
	last := int32(-1)
	for _, part := range c.Parts {
		if part < 0 || int(part) >= parts {
			return fmt.Errorf("part %d; want 0 to %d", part, parts-1)
		}
		if part <= last {
			return fmt.Errorf("parts %v; want them ascending and distinct", c.Parts)
		}
		last = part
	}
	return nil
}
