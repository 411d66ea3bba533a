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
	traits, _ := p.traits()
	for i, slot := range p.Slots {
		if err := slot.check(p.Parts, traits); err != nil {
			return fmt.Errorf("coupled: slot %d, %w", i, err)
		}
	}
	return nil
}

// traits returns how many traits the first candidate has, and whether there is one.
func (p Problem) traits() (count int, any bool) {
	for _, s := range p.Slots {
		for _, c := range s.Candidates {
			return len(c.Traits), true
		}
	}
	return 0, false
}

func (s Slot) check(parts, traits int) error {
	last := math.Inf(-1)
	for j, c := range s.Candidates {
		if math.IsNaN(c.Value) || math.IsInf(c.Value, 0) {
			return fmt.Errorf("candidate %d: value %v; want a finite one", j, c.Value)
		}
		if c.Value < last {
			return fmt.Errorf("candidate %d: value %v after %v; want them ascending", j, c.Value, last)
		}
		last = c.Value
		if err := c.check(parts, traits); err != nil {
			return fmt.Errorf("candidate %d: %w", j, err)
		}
	}
	return nil
}

func (c Candidate) check(parts, traits int) error {
	if len(c.Traits) != traits {
		return fmt.Errorf("%d traits; want %d as the first has", len(c.Traits), traits)
	}
	for _, v := range c.Traits {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("traits %v; want finite ones", c.Traits)
		}
	}
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
