package plan

import (
	"context"
	"maps"
	"math"
	"slices"
	"time"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/match/network"
	"shuntwright/match/solve"
	"shuntwright/meter/wiring"
)

// measured are those of the parts that have a reading.
func (p *Planner) measured(chosen []int) []int {
	return slices.DeleteFunc(slices.Clone(chosen), func(i int) bool { return p.Measured[i].Marked })
}

// withoutMarked is the same question to the parts that have a reading; nil where
// these are all parts, or none.
func (p *Planner) withoutMarked(made *Outcome) (*Question, error) {
	q := &Question{Open: made.Open, Chosen: p.measured(made.Chosen), Kept: maps.Clone(made.Kept)}
	if len(q.Chosen) == 0 || len(q.Chosen) == len(made.Chosen) {
		return nil, nil
	}
	err := p.pose(q)
	q.Problem.Progress = made.Problem.Progress
	return q, err
}

// takesMarked tells whether a plan puts in a part that nobody has measured.
func (p *Planner) takesMarked(made *Outcome) bool {
	return slices.ContainsFunc(made.Plan.Networks, func(n network.Network) bool {
		return slices.ContainsFunc(n.Parts(), func(i int) bool { return p.Measured[made.Chosen[i]].Marked })
	})
}

// trimMeasured is the trim, and where that takes parts that nobody has measured
// the one without them, if that too brings every range within the class.
func (p *Planner) trimMeasured(ctx context.Context, made *Outcome) (map[int]wiring.Network, error) {
	networks, err := p.trimmed(ctx, made)
	if err != nil || !p.takesMarked(made) {
		return networks, err
	}
	q, err := p.withoutMarked(made)
	if err != nil || q == nil {
		return networks, err
	}
	again := NewOutcome(p, q)
	again.PassedOver = len(made.Chosen) - len(q.Chosen)
	instead, err := p.trimmed(ctx, &again)
	if err != nil || len(again.Beyond) > 0 || !slices.Equal(again.Plan.Filled, made.Plan.Filled) {
		return networks, err
	}
	*made = again
	return instead, nil
}

// trimmed is the trim, with what is no trim replaced.
func (p *Planner) trimmed(ctx context.Context, made *Outcome) (map[int]wiring.Network, error) {
	soon, stop := ctx, func() {}
	if does, err := p.oneDoes(ctx, made); err != nil {
		return nil, err
	} else if does {
		soon, stop = ShareOf(ctx, besideOne)
	}
	networks, err := p.searchTrim(soon, made)
	stop()
	if err == nil {
		err = p.replace(ctx, made, networks)
	}
	if err == nil && len(made.Replaced) > 0 {
		err = p.untrim(made, networks)
	}
	return networks, err
}

// forSurest is the share of the time for the search for the surest plan: the rest
// is for the plans that are judged where it is not proven in that.
const forSurest = 0.5

// surest is how the plan with the smallest worst error plus limit stands. Where
// the time does not allow to prove it, it is that of the best plans that is surest.
func (p *Planner) surest(ctx context.Context, made *Outcome) (Standing, error) {
	q := made.Question
	response := p.Meter.Response(q.Open, p.Ohms())
	q.Problem.Limit, q.Problem.LimitFloor = p.planLimits(&q), p.newLimitFloor(&q, response)
	q.Problem.Enough = 0
	if made.Plan.Key.Points == 0 { // nothing is out of reach: the worst alone says how sure a plan can be
		q.Problem.Resolution = 0
	}
	soon, stop := ShareOf(ctx, forSurest)
	defer stop()
	sure, err := solve.Plan(soon, q.Stock, q.Problem)
	if err != nil {
		return Standing{}, err
	}
	if sure.Proven && slices.Equal(sure.Filled, made.Plan.Filled) {
		if best, err := p.standing(&q, sure.Networks); err != nil || !math.IsNaN(best.Doubt.Alike()) {
			made.Surest = true
			return best, err
		}
	}
	steps, err := p.steps(ctx, made)
	if err != nil {
		return Standing{}, err
	}
	return leastDoubt(steps), nil
}

// ShareOf leaves a share, above 0 and up to 1, of the time that there is, where it
// is limited.
func ShareOf(ctx context.Context, share float64) (context.Context, context.CancelFunc) {
	end, limited := ctx.Deadline()
	if !limited {
		return context.WithCancel(ctx)
	}
	left := time.Until(end)
	return context.WithDeadline(ctx, end.Add(-time.Duration((1-share)*float64(left))))
}

// PlanSure is the meter with the plan that counts error and limit together, as far as
// it is found before ctx ends.
func (p *Planner) PlanSure(ctx context.Context, made *Outcome) (*asbuilt.Setup, error) {
	sure := &Planner{p.Setup, p.Asked}
	sure.Sure = true
	q := &Question{Open: made.Open, Chosen: made.Chosen, Kept: made.Kept}
	if err := sure.pose(q); err != nil {
		return nil, err
	}
	found, err := solve.Plan(ctx, q.Stock, q.Problem)
	if err != nil {
		return nil, err
	}
	return sure.tried(q, found.Networks)
}
