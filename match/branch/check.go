package branch

import (
	"fmt"
	"math"
)

// check returns an error for the first thing in p that is not as the fields of
// Problem and Candidate say.
func (p Problem) check() error {
	switch {
	case p.Parts < 0 || p.Parts > math.MaxInt32:
		return fmt.Errorf("branch: %d parts; want 0 to %d", p.Parts, math.MaxInt32)
	case p.Ranges < 0:
		return fmt.Errorf("branch: %d ranges; want 0 or more", p.Ranges)
	case p.Response == nil && p.Ranges > 0:
		return fmt.Errorf("branch: no response for %d ranges", p.Ranges)
	case !(p.Enough >= 0) || math.IsInf(p.Enough, 0):
		return fmt.Errorf("branch: enough is %v %%; want a finite error, or 0 for none", p.Enough)
	case p.Budget <= 0:
		return fmt.Errorf("branch: budget is %d; want a positive number of evaluations, such as %d", p.Budget, DefaultBudget)
	case !(p.Gap >= 0):
		return fmt.Errorf("branch: gap is %v; want percentage points, 0 or more", p.Gap)
	}
	attributes, _ := p.attributes()
	for i, slot := range p.Slots {
		if err := check(slot, p.Parts, attributes); err != nil {
			return fmt.Errorf("branch: slot %d, %w", i, err)
		}
	}
	return nil
}
