package plan

import (
	"context"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/match"
	"shuntwright/match/solve"
	"shuntwright/meter/wiring"
)

// beyond are the ranges that do not read true: what they count is more than the
// class, or where there is none the largest of IEC 60051.
func (p *Planner) beyond(s *asbuilt.Setup) []int {
	const rounding = 1e-9
	var out []int
	for r, off := range p.counts(s) {
		if off > p.SearchClass()+rounding {
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

// searchTrim finds the fewest parts that bring every range within the class: what
// is within counts as none, and what cannot be brought there comes as close as it
// can.
func (p *Planner) searchTrim(ctx context.Context, made *Outcome) (map[int]wiring.Network, error) {
	plan, err := solve.Plan(ctx, made.Stock, made.Problem)
	if err != nil {
		return nil, err
	}
	trial, err := p.tried(&made.Question, plan.Networks)
	if err != nil {
		return nil, err
	}
	made.Plan, made.reads, made.Beyond = plan, p.standingOf(trial, made.Problem), p.beyond(trial)
	return p.wired(&made.Question, made.Plan.Networks), nil
}

// moved are those of some ranges that a slot moves.
func moved(p match.Problem, slot int, ranges []int) []int {
	return slices.DeleteFunc(slices.Clone(ranges), func(r int) bool { return p.Response.Rising(r, slot) == 0 })
}
