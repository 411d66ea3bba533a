package plan

import (
	"math"
)

// LeftOpen returns what a plan leaves open, each as made to its target, and the
// positions that are decided all the same, because a range that is whole depends on
// them. Where that is all that it fills, nothing waits for what is open.
func (p *Planner) LeftOpen(made *Outcome) (wait []Wound, decided []int) {
	undecided := false
	for slot, n := range made.Plan.Networks {
		switch {
		case n.IsZero():
			wait = append(wait, Wound{Position: made.Open[slot], Ohms: made.Problem.Needs[slot].Target})
		case made.movesWhole(slot):
			decided = append(decided, made.Open[slot])
		default:
			undecided = true
		}
	}
	if !undecided {
		return nil, nil
	}
	return wait, decided
}

// movesWhole tells whether a slot moves a range that is whole.
func (o *Outcome) movesWhole(slot int) bool {
	for r, e := range o.Plan.Errors {
		if o.Problem.Response.Rising(r, slot) != 0 && !math.IsNaN(e) {
			return true
		}
	}
	return false
}
