package plan

import (
	"context"
	"math"
	"slices"

	"shuntwright/match"
)

// places are the positions that a plan leaves open and those that keep a range
// out of its class, by position, with the range (-1: open).
func (p *Planner) places(made *Outcome) []outside {
	var out []outside
	for slot, position := range made.Open {
		if made.Plan.Networks[slot].IsZero() {
			out = append(out, outside{-1, slot, position, made.Problem.Needs[slot]})
		}
	}
	for r, e := range made.Plan.Errors {
		if math.IsNaN(p.Class) || !(math.Abs(e) > p.Class) {
			continue
		}
		if slot := p.toBlame(made, r); slot >= 0 {
			out = append(out, outside{r, slot, made.Open[slot], p.goodEnough(made, slot, r)})
		}
	}
	return out
}

// outside is a place that is not as it should be.
type outside struct {
	r, slot, position int
	need              match.Need
}

// toBlame is the slot that would do most for a range if it stood on its target,
// all others as planned; -1 where none would do anything.
func (p *Planner) toBlame(made *Outcome, r int) int {
	best, least := -1, math.Abs(made.Plan.Errors[r])
	ohms, errors := p.planned(made), make([]float64, made.Problem.Ranges)
	for slot, need := range made.Problem.Needs {
		if made.Problem.Response.Rising(r, slot) == 0 {
			continue
		}
		was := ohms[slot]
		ohms[slot] = need.Target
		made.Problem.Response.Errors(errors, ohms)
		if e := math.Abs(errors[r]); e < least {
			best, least = slot, e
		}
		ohms[slot] = was
	}
	return best
}

// planned are the values of the slots, on their targets where they are open.
func (p *Planner) planned(made *Outcome) []float64 {
	var out []float64
	for slot, n := range made.Plan.Networks {
		v := n.Value()
		if n.IsZero() {
			v = made.Problem.Needs[slot].Target
		}
		out = append(out, v)
	}
	return out
}

// goodEnough is the need of a slot with the window in which its range would be
// within the class, all others as planned: to either side of its target as far
// as the error stays within, and no further than a tenth.
func (p *Planner) goodEnough(made *Outcome, slot, r int) match.Need {
	ohms, errors := p.planned(made), make([]float64, made.Problem.Ranges)
	need := made.Problem.Needs[slot]
	within := func(fraction float64) bool {
		for _, side := range []float64{1 - fraction, 1 + fraction} {
			ohms[slot] = need.Target * side
			made.Problem.Response.Errors(errors, ohms)
			if !(math.Abs(errors[r]) <= p.Class) {
				return false
			}
		}
		return true
	}
	lo, hi := 0.0, 0.1
	for range 30 {
		if mid := (lo + hi) / 2; within(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	need.Within = max(lo, 1e-9)
	return need
}

// WhyNot is a position that a plan leaves open, or the one that keeps a range
// out of its class, with the reason.
type WhyNot struct {
	Position, Range int // Range is -1 where the position is open
	Why
}

// ExplainPlan finds the reason of everything that the plan leaves to be wished.
func (p *Planner) ExplainPlan(ctx context.Context, made *Outcome) ([]WhyNot, error) {
	var out []WhyNot
	for _, o := range p.places(made) {
		place := Place{Need: o.need, Kept: made.Kept[o.position], Chosen: made.Chosen, Taken: map[int]string{}, Ohms: made.Problem.Needs[o.slot].Target}
		for slot, n := range made.Plan.Networks {
			if slot == o.slot {
				continue
			}
			for _, part := range n.Parts() {
				place.Taken[made.Chosen[part]] = p.Positions[made.Open[slot]].Name
			}
		}
		place.Left = slices.DeleteFunc(slices.Clone(made.Chosen), func(i int) bool { return place.Taken[i] != "" })
		why, err := Explain(ctx, p.Bench, p.Asked, place)
		if err != nil {
			return nil, err
		}
		if why.Reason != Unmet {
			out = append(out, WhyNot{o.position, o.r, why})
		}
	}
	return out, nil
}
