package plan

import (
	"context"
	"fmt"
	"math"
	"strings"

	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
	"shuntwright/meter/quantity"
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
	for slot, need := range made.Problem.Needs {
		if made.Problem.Response.Rising(r, slot) == 0 {
			continue
		}
		if e := math.Abs(made.errorsWith(slot, need.Target)[r]); e < least {
			best, least = slot, e
		}
	}
	return best
}

// planned is the value of a slot, its target where it is open.
func (made *Outcome) planned(slot int) float64 {
	if n := made.Plan.Networks[slot]; !n.IsZero() {
		return n.Value()
	}
	return made.Problem.Needs[slot].Target
}

// errorsWith are the errors of the ranges with so many ohms in a slot, all others
// as planned.
func (made *Outcome) errorsWith(slot int, ohms float64) []float64 {
	all, errors := make([]float64, len(made.Open)), make([]float64, made.Problem.Ranges)
	for i := range all {
		all[i] = made.planned(i)
	}
	all[slot] = ohms
	made.Problem.Response.Errors(errors, all)
	return errors
}

// over is how far a range reads high at most, in percent, with so many ohms in a
// slot, all others as planned; a range of others counts as nothing.
func (made *Outcome) over(slot int, ohms float64) (most float64) {
	for r, e := range made.errorsWith(slot, ohms) {
		if made.Problem.Response.Rising(r, slot) != 0 && e > most {
			most = e
		}
	}
	return most
}

// goodEnough is the need of a slot with the window in which its range would be
// within the class, all others as planned: to either side of its target as far
// as the error stays within, and no further than a tenth.
func (p *Planner) goodEnough(made *Outcome, slot, r int) match.Need {
	need := made.Problem.Needs[slot]
	within := func(factor float64) bool { return math.Abs(made.errorsWith(slot, need.Target*factor)[r]) <= p.Class }
	lo, hi := 0.0, 0.1
	for range 30 {
		if mid := (lo + hi) / 2; within(1-mid) && within(1+mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	need.Within = max(lo, 1e-9)
	return need
}

// ExplainPlan finds the reason of everything that the plan leaves to be wished;
// the time that ctx leaves is shared between them. What could be wound is said
// where it may be: used is what is off the spools already, nil where nothing may.
func (p *Planner) ExplainPlan(ctx context.Context, made *Outcome, used map[string]float64) ([]predict.Why, error) {
	var out []predict.Why
	places := p.places(made)
	for i, o := range places {
		place := Place{Need: o.need, Kept: made.Kept[o.position], Chosen: made.Chosen, Taken: map[int]string{}, Window: o.r < 0,
			Over: func(ohms float64) float64 { return made.over(o.slot, ohms) }}
		if used != nil {
			place.Winds = p.windHelp(o.position, used)
		}
		for slot, n := range made.Plan.Networks {
			if slot == o.slot {
				continue
			}
			for _, part := range n.Parts() {
				place.Taken[made.Chosen[part]] = p.Positions[made.Open[slot]].Name
			}
		}
		share, stop := ShareOf(ctx, 1/float64(len(places)-i))
		why, err := Explain(share, p.Bench, p.Asked, place)
		stop()
		if err != nil {
			return nil, err
		}
		if why.Why == unmet {
			p.whyNotTaken(made, o, &why)
		}
		if why.Position = p.Positions[o.position].Name; o.r >= 0 {
			why.Range = p.Ranges[o.r].Name
		}
		out = append(out, why)
	}
	return out, nil
}

// whyNotTaken says why a network that is free and would do is not in the plan:
// what the section moves beside would be worse off, or the search was ended.
func (p *Planner) whyNotTaken(made *Outcome, o outside, why *predict.Why) {
	before, after := made.errorsWith(o.slot, made.planned(o.slot)), made.errorsWith(o.slot, why.Nearest.Ohms)
	worst := -1
	for r := range after {
		off := math.Abs(after[r])
		if off > math.Abs(before[r]) && off > p.Enough && !(off <= p.Class) && (worst < 0 || off > math.Abs(after[worst])) {
			worst = r
		}
	}
	why.Why = othersSuffer
	would := inWords(why.Nearest) + ", would do"
	switch {
	case worst >= 0:
		why.Text = fmt.Sprintf("%s, and %s would read %s", would, p.Ranges[worst].Name, report.PercentError(after[worst], math.NaN()).Text)
	case made.Plan.Proven:
		why.Text = would + ", and other ranges would be worse off"
	default:
		why.Text = would + ": the search was ended before that"
	}
}

// windHelp says how a position could be wound where the drawer's parts do not
// reach, used being what is off the spools already.
func (p *Planner) windHelp(position int, used map[string]float64) string {
	bare, err := toWind(p.Setup, position)
	if err != nil {
		return ""
	}
	winds := WindHelp(p.Bench, bare.Ohms, bare.Amperes, used)
	if full, is := strings.CutPrefix(p.Positions[position].Name, "external shunt "); is && winds != "" {
		drop := quantity.Format(bare.Ohms*bare.Amperes, quantity.Volt, 2)
		return fmt.Sprintf("a ready-made shunt with four terminals, %s and %s, would do; else %s", full, drop, winds)
	}
	return winds
}

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
