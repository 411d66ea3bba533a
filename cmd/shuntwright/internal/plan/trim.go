package plan

import (
	"context"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/match/solve"
	"shuntwright/meter/wiring"
)

// beyond are the ranges that do not read true: what they count is more than the
// class.
func (p *Planner) beyond(s *asbuilt.Setup) []int {
	const rounding = 1e-9
	var out []int
	for r, off := range p.counts(s) {
		if off > p.Class+rounding {
			out = append(out, r)
		}
	}
	return out
}

// counts are the ranges' errors, with Sure error and limit together, in percent;
// NaN where a range is not whole.
func (p *Planner) counts(s *asbuilt.Setup) []float64 {
	var out []float64
	ohms := s.Ohms()
	limits := s.RangeLimits(s.Meter.State(ohms))
	for r, as := range s.Meter.Predict(ohms).Ranges {
		off := math.Abs(as.ErrorPercent)
		if p.Sure {
			off += limits[r].Limit
		}
		if !as.Whole() {
			off = math.NaN()
		}
		out = append(out, off)
	}
	return out
}

// searchTrim finds the fewest parts that bring every range within the class.
// Where some cannot be brought there, they come as close as they can, and the
// positions that do not move them are asked for again: the first answer made
// all errors as small as can be, and what reads true is to be left alone.
func (p *Planner) searchTrim(ctx context.Context, made *Outcome) (map[int]wiring.Network, error) {
	var err error
	if made.Plan, err = solve.Plan(ctx, made.Stock, made.Problem); err != nil {
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
	again, err := solve.Plan(ctx, rest.Stock, rest.Problem)
	if err != nil || slices.Contains(again.Filled, false) || !(again.Worst <= rest.Problem.Enough) {
		return networks, err // only where the time is up
	}
	for position, n := range held.wired(rest, again.Networks) {
		networks[position] = n
	}
	return networks, nil
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
			nets[slot] = network.Network{}
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
