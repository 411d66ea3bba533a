package match

import (
	"context"
	"fmt"
	"slices"
)

// Step is one row of a frontier: the best plan with at most so many parts a
// position.
type Step struct {
	Parts    int     // at most so many parts a position
	Filled   int     // positions filled
	Worst    float64 // as in Plan, percent
	Error    float64 // largest |error| of the whole ranges, percent: Worst without limits
	Soldered int     // parts used in all
	Proven   bool    // as in Plan
}

// Frontier returns the price of fewer joints: for 1 to upTo parts a position
// the worst error and how many parts the plan uses. The needs' own AtMost are
// not read. When the context ends, the rows so far are returned.
func (s *Stock) Frontier(ctx context.Context, p Problem, upTo int) ([]Step, error) {
	if upTo < 1 || upTo > MaxParts {
		return nil, fmt.Errorf("frontier: up to %d parts a position: it must be 1 to %d", upTo, MaxParts)
	}
	var out []Step
	p.Needs = slices.Clone(p.Needs)
	for parts := 1; parts <= upTo && ctx.Err() == nil; parts++ {
		for i := range p.Needs {
			p.Needs[i].AtMost = parts
		}
		plan, err := s.Plan(ctx, p)
		if err != nil {
			return nil, err
		}
		row := Step{Parts: parts, Worst: plan.Worst, Error: plan.WorstError(), Soldered: plan.Parts(), Proven: plan.Proven}
		for _, f := range plan.Filled {
			if f {
				row.Filled++
			}
		}
		out = append(out, row)
	}
	return out, nil
}
