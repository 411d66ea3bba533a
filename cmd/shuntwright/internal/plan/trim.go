package plan

import (
	"context"
	"maps"
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

// besideOne is the share of the time for trims by Sure, which is hard to prove,
// where parts in the place of what is in one position would do: for fewer.
const besideOne = 0.2

// oneDoes tells whether up to two parts in the place of what is in one position
// bring every range within the class.
func (p *Planner) oneDoes(ctx context.Context, made *Outcome) (bool, error) {
	if !p.Sure || len(p.OpenPositions()) > 0 {
		return false, nil
	}
	off := p.beyond(p.Setup)
	for slot := range made.Open {
		if len(moved(made.Problem, slot, off)) == 0 {
			continue
		}
		trial, err := p.instead(ctx, made, maps.Clone(made.Kept), slot, min(p.AtMost, 2))
		if err != nil || trial != nil && len(p.beyond(trial)) == 0 {
			return err == nil, err
		}
	}
	return false, nil
}

// untrim takes out again what was added to a position and does nothing, once others
// are replaced. It changes networks and made.
func (p *Planner) untrim(made *Outcome, networks map[int]wiring.Network) error {
	trial, err := p.filled(networks)
	if err != nil {
		return err
	}
	for _, position := range made.Open {
		kept := made.Kept[position]
		if kept.IsNothing() || made.Replaced[position] || networks[position].String() == kept.String() {
			continue
		}
		without := trial.Clone()
		if err := without.Fill(position, kept); err != nil {
			return err
		}
		if p.asGood(without, trial) {
			trial, networks[position] = without, kept
			delete(made.Swamped, position)
			p.replaced(made, trial, false)
		}
	}
	return nil
}

// asGood tells whether no range that a setup leaves beyond the class is so much
// further off than it was that it can be seen.
func (p *Planner) asGood(setup, was *asbuilt.Setup) bool {
	now, then := p.counts(setup), p.counts(was)
	return !slices.ContainsFunc(p.beyond(setup), func(r int) bool { return now[r] > then[r]+p.Resolution })
}
