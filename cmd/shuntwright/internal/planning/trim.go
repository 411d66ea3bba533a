package planning

import (
	"context"
	"math"
	"math/big"
	"slices"

	"shuntwright/cmd/shuntwright/internal/bench"
	"shuntwright/match"
	"shuntwright/meter/wiring"
)

// beyond are the ranges that do not read true: their error, with Sure their
// error and limit together, is more than the class.
func (p *Planner) beyond(s *bench.Setup) []int {
	const rounding = 1e-9
	var out []int
	ohms := s.Ohms()
	limits := s.RangeLimits(s.Meter.State(ohms))
	for r, as := range s.Meter.Predict(ohms).Ranges {
		off := math.Abs(as.ErrorPercent)
		if p.Sure {
			off += limits[r].Limit
		}
		if as.Whole() && off > p.Class+rounding {
			out = append(out, r)
		}
	}
	return out
}

// searchTrim finds the fewest parts that bring every range within the class.
// Where some cannot be brought there, they come as close as they can, and the
// positions that do not move them are asked for again: the first answer made
// all errors as small as can be, and what reads true is to be left alone.
func (p *Planner) searchTrim(ctx context.Context, made *Outcome) (map[int]wiring.Network, error) {
	var err error
	if made.Plan, err = p.trimPlan(ctx, made); err != nil {
		return nil, err
	}
	if made.reads, err = p.standing(&made.Question, made.Plan.Networks); err != nil {
		return nil, err
	}
	networks := p.wired(&made.Question, made.Plan.Networks)
	trial, err := p.tried(&made.Question, made.Plan.Networks)
	if err != nil {
		return nil, err
	}
	if made.Beyond = p.beyond(trial); len(made.Beyond) == 0 {
		return networks, nil
	}
	held, rest := p.split(made)
	if len(rest.Open) == 0 {
		return networks, nil
	}
	if err := held.pose(rest); err != nil {
		return nil, err
	}
	again, err := rest.Stock.Plan(ctx, rest.Problem)
	if err != nil || slices.Contains(again.Filled, false) || !(again.Worst <= rest.Problem.Enough) {
		return networks, err // only where the time is up
	}
	for position, n := range held.wired(rest, again.Networks) {
		networks[position] = n
	}
	return networks, nil
}

// manyNetworks is how many networks a coupled position may have for the search
// to look at all of them.
const manyNetworks = 1 << 16

// trimPlan asks for the fewest parts. Where positions are coupled and have
// more networks than a search can combine, the nearest of them would hide those
// with few parts; there parts are added one at a time where they are wanted.
func (p *Planner) trimPlan(ctx context.Context, made *Outcome) (match.Plan, error) {
	var few match.Plan
	var err error
	if coupled(made.Problem) {
		if few, err = p.oneAtATime(ctx, made); err != nil {
			return few, err
		}
		count := match.Count(made.Stock.Len(), p.AtMost, true)
		if few.Networks != nil && (!count.IsInt64() || count.Int64() > manyNetworks) {
			return few, nil
		}
	}
	plan, err := made.Stock.Plan(ctx, made.Problem)
	if few.Networks != nil && plan.End != match.Exact && (few.Parts() < plan.Parts() || !(plan.Worst <= made.Problem.Enough)) {
		return few, err
	}
	return plan, err
}

// coupled tells whether a range depends on more than one slot, or a slot moves
// more than one range.
func coupled(p match.Problem) bool {
	of := make([]int, len(p.Needs))
	for r := range p.Ranges {
		slots := 0
		for slot := range p.Needs {
			if p.Response.Rising(r, slot) != 0 {
				slots++
				of[slot]++
			}
		}
		if slots > 1 {
			return true
		}
	}
	return slices.Max(of) > 1
}

// oneAtATime plans with one part a position, and lets those that move a range
// beyond the class have one more until none is beyond. A zero Plan: that does
// not come to an end. That no plan has fewer parts is likely and not proven.
func (p *Planner) oneAtATime(ctx context.Context, made *Outcome) (match.Plan, error) {
	problem := made.Problem
	problem.Needs = slices.Clone(problem.Needs)
	for i := range problem.Needs {
		problem.Needs[i].AtMost = 1
	}
	for {
		plan, err := made.Stock.Plan(ctx, problem)
		if err != nil {
			return plan, err
		}
		trial, err := p.tried(&made.Question, plan.Networks)
		if err != nil {
			return plan, err
		}
		beyond := p.beyond(trial)
		if len(beyond) == 0 && !slices.Contains(plan.Filled, false) {
			plan.Bound, plan.Proven, plan.End = 0, false, match.WorstProven
			plan.Considered = new(big.Int).Mul(match.Count(made.Stock.Len(), p.AtMost, true), big.NewInt(int64(len(problem.Needs))))
			return plan, nil
		}
		raised := false
		for slot := range problem.Needs {
			need := &problem.Needs[slot]
			if need.AtMost < p.AtMost && (!plan.Filled[slot] || movesAny(problem, beyond, slot)) {
				need.AtMost++
				raised = true
			}
		}
		if !raised || ctx.Err() != nil {
			return match.Plan{}, nil
		}
	}
}

// movesAny tells whether a slot moves one of the ranges.
func movesAny(p match.Problem, ranges []int, slot int) bool {
	return slices.ContainsFunc(ranges, func(r int) bool { return p.Response.Rising(r, slot) != 0 })
}

// split holds what moves the ranges beyond the class, and what stays open, as
// the plan has it; the rest is a search of its own among the parts left.
func (p *Planner) split(made *Outcome) (held *Planner, rest *Question) {
	rest = &Question{Kept: made.Kept}
	nets := slices.Clone(made.Plan.Networks)
	for slot, position := range made.Open {
		if !movesAny(made.Problem, made.Beyond, slot) && made.Plan.Filled[slot] {
			rest.Open = append(rest.Open, position)
			nets[slot] = match.Network{}
		}
	}
	used := map[int]bool{}
	for _, n := range nets {
		for _, part := range n.Parts() {
			used[made.Chosen[part]] = true
		}
	}
	rest.Chosen = slices.DeleteFunc(slices.Clone(made.Chosen), func(i int) bool { return used[i] })
	trial, err := p.tried(&made.Question, nets)
	if err != nil || len(rest.Chosen) == 0 {
		rest.Open = nil
	}
	return &Planner{trial, p.Wishes}, rest
}
