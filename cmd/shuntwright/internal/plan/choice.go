package plan

import (
	"context"
	"math"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/match/solve"
	"shuntwright/meter/wiring"
)

// Search finds the plan, what it costs in joints, and a plan with fewer that
// reads the same, or with Trim what is to be added; it returns the networks by
// position. made is a question with open positions of which nothing is found
// yet. Where ctx ends, so does the search, with the best so far.
func (p *Planner) Search(ctx context.Context, made *Outcome) (map[int]wiring.Network, error) {
	if p.Trim {
		return p.trimMeasured(ctx, made)
	}
	var err error
	if err = p.choose(ctx, made); err != nil {
		return nil, err
	}
	if made.Frontier, err = p.steps(ctx, made); err != nil {
		return nil, err
	}
	if made.Spares, err = p.spared(ctx, made); err != nil {
		return nil, err
	}
	return p.wired(&made.Question, made.Plan.Networks), nil
}

// choose finds the plan. With EnoughMeasured that takes several searches: one
// for the best plan, one for the surest and how far off even that may really be,
// and one for the fewest parts where as much counts as none, of parts that
// somebody has measured where that is no worse.
func (p *Planner) choose(ctx context.Context, made *Outcome) (err error) {
	first, stop := ShareOf(ctx, mostOfTime)
	defer stop()
	if made.Plan, err = solve.Plan(first, made.Stock, made.Problem); err != nil || !p.GivesEnough() {
		return err
	}
	if !p.EnoughMeasured {
		if ctx.Err() != nil {
			return nil
		}
		problem := made.Problem // where nothing is good enough
		problem.Enough = 0
		exact, err := solve.Plan(ctx, made.Stock, problem)
		made.Exact = &exact
		return err
	}
	best, err := p.surest(first, made)
	if err != nil || math.IsNaN(best.Doubt.Alike()) {
		return err
	}
	exact := made.Plan
	made.Best, made.Exact, made.Problem.Enough = best.Doubt, &exact, p.alike(best)
	if made.Plan, err = p.noLater(first, made, exact); err != nil {
		return err
	}
	q, err := p.withoutMarked(made)
	if err != nil || q == nil {
		return err
	}
	q.Problem.Enough = made.Problem.Enough
	plan, err := solve.Plan(first, q.Stock, q.Problem)
	if err == nil && reads(plan.Key, made.Plan.Key) {
		made.PassedOver = len(made.Chosen) - len(q.Chosen)
		made.Question, made.Plan = *q, plan
	}
	return err
}

// mostOfTime is the share of the time that the plan itself may take; the rest is
// for what it costs in joints.
const mostOfTime = 0.85

// noLater is the plan of a question, or another one of its networks where the
// search was ended before it came as far.
func (p *Planner) noLater(ctx context.Context, made *Outcome, other match.Plan) (match.Plan, error) {
	plan, err := solve.Plan(ctx, made.Stock, made.Problem)
	if err != nil || plan.Proven {
		return plan, err
	}
	judged, err := solve.Judge(made.Stock, made.Problem, other.Networks)
	if err == nil && judged.Key.Compare(&plan.Key) < 0 {
		judged.Bound, judged.End = plan.Bound, plan.End
		return judged, nil
	}
	return plan, err
}

// reads tells whether a plan reads as well as another, whatever either takes of
// parts.
func reads(as, other match.Key) bool {
	as.Parts = other.Parts
	return as.Compare(&other) <= 0
}

// alike is the error up to which a range reads like the best plan: its range in
// doubt may really be so far off. Where that range is within the class, alike
// ends at the class, so that nothing outside of it counts as the same.
func (p *Planner) alike(best Standing) float64 {
	if out := best.Doubt.Alike(); !(math.Abs(best.Doubt.Error) <= p.Class && p.Class < out) {
		return out
	}
	return p.Class
}

// leastDoubt is how the surest of some plans stands, all of which read alike as
// far as can be told: those that fill as much as the last, which has the smallest
// errors. So a plan whose limit is large by chance has no say.
func leastDoubt(steps []Step) Standing {
	last := steps[len(steps)-1]
	best := last.Standing
	for _, one := range steps {
		if one.fillsAs(last) && one.Doubt.Alike() < best.Doubt.Alike() {
			best = one.Standing
		}
	}
	return best
}

// Figure is an error and its limit, in percent; NaN where there is none. Range
// is the range's index.
type Figure struct {
	Error, Limit float64
	Range        int
}

var noFigure = Figure{math.NaN(), math.NaN(), -1}

// Alike is the largest error that cannot be told from this one: how far off its
// range may really be.
func (f Figure) Alike() float64 { return math.Abs(f.Error) + f.Limit }

// Standing is how a choice of networks leaves the meter: the worst of all whole
// ranges, the worst of those that the choice moves, and of these the one in Doubt:
// that may really be furthest off, among those within the class if there are any.
type Standing struct {
	All, Moved, Doubt Figure
	whole             int // ranges
}

// standing tries a choice of networks; a slot without one stays as it is.
func (p *Planner) standing(q *Question, nets []network.Network) (Standing, error) {
	trial, err := p.tried(q, nets)
	if err != nil {
		return Standing{}, err
	}
	return p.standingOf(trial, q.Problem), nil
}

// standingOf is how a meter stands, of which a problem moves some ranges.
func (p *Planner) standingOf(trial *asbuilt.Setup, problem match.Problem) Standing {
	out := Standing{All: noFigure, Moved: noFigure, Doubt: noFigure}
	ohms := trial.Ohms()
	limits := trial.RangeLimits(p.Meter.State(ohms))
	for r, as := range p.Meter.Predict(ohms).Ranges {
		if !as.Whole() {
			continue
		}
		out.whole++
		one := Figure{as.ErrorPercent, limits[r].Limit, r}
		out.All = worseOf(out.All, one)
		if !movedByAny(problem, r) {
			continue
		}
		out.Moved = worseOf(out.Moved, one)
		if in, was := math.Abs(one.Error) <= p.SearchClass(), math.Abs(out.Doubt.Error) <= p.SearchClass(); in && !was ||
			in == was && !(one.Alike() <= out.Doubt.Alike()) {
			out.Doubt = one
		}
	}
	return out
}

// movedByAny tells whether any slot moves a range.
func movedByAny(p match.Problem, r int) bool {
	for slot := range p.Needs {
		if p.Response.Rising(r, slot) != 0 {
			return true
		}
	}
	return false
}

// worseOf is the larger error, the first of equals; NaN gives way.
func worseOf(a, b Figure) Figure {
	if math.IsNaN(a.Error) || math.Abs(b.Error) > math.Abs(a.Error) {
		return b
	}
	return a
}
