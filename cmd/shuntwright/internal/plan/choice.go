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
// and one for the fewest parts among the plans within that, where it can be of
// parts that somebody has measured.
func (p *Planner) choose(ctx context.Context, made *Outcome) (err error) {
	if made.Plan, err = solve.Plan(ctx, made.Stock, made.Problem); err != nil || !p.EnoughMeasured {
		return err
	}
	best, err := p.surest(ctx, made)
	if err != nil || math.IsNaN(best.Doubt.Alike()) {
		return err
	}
	made.Best = best.Doubt
	enough := p.alike(best)
	q, err := p.withoutMarked(made)
	if err != nil {
		return err
	}
	if q != nil {
		q.Problem = enoughProblem(q.Problem, enough)
		plan, err := solve.Plan(ctx, q.Stock, q.Problem)
		if err != nil {
			return err
		}
		if slices.Equal(plan.Filled, made.Plan.Filled) && plan.Worst <= enough {
			made.PassedOver = len(made.Chosen) - len(q.Chosen)
			plan.Bound = min(plan.Bound, made.Plan.Bound)
			made.Question, made.Plan = *q, plan
			return nil
		}
	}
	made.Problem = enoughProblem(made.Problem, enough)
	fewer, err := solve.Plan(ctx, made.Stock, made.Problem)
	if err != nil {
		return err
	}
	fewer.Bound, fewer.Proven = made.Plan.Bound, made.Plan.Proven && fewer.Proven
	if slices.Equal(fewer.Filled, made.Plan.Filled) && fewer.Parts() < made.Plan.Parts() && fewer.Worst <= made.Problem.Enough {
		made.Plan = fewer
	} // else the best plan has the fewest parts already, or the time was up
	made.Plan.Proven, made.Plan.End = fewer.Proven, fewer.End
	return nil
}

// enoughProblem lets all plans within so many percent be equal. Ranges that no
// open position moves cannot be helped, and have no say in what is enough.
func enoughProblem(p match.Problem, percent float64) match.Problem {
	p.Enough = percent
	if percent == 0 {
		return p
	}
	return onlyMoved(p)
}

// onlyMoved lets the ranges that no open position moves read true.
func onlyMoved(p match.Problem) match.Problem {
	fixed := unmoved(p)
	if len(fixed) == 0 {
		return p
	}
	p.Response = moving{p.Response, fixed}
	if limit := p.Limit; limit != nil {
		p.Limit = func(nets []network.Network, dst []float64) {
			limit(nets, dst)
			zero(dst, fixed)
		}
	}
	if p.LimitFloor != nil {
		p.LimitFloor = movingFloor{p.LimitFloor, fixed}
	}
	return p
}

// unmoved are the ranges that depend on no slot.
func unmoved(p match.Problem) []int {
	var out []int
	for r := range p.Ranges {
		moves := false
		for slot := range p.Needs {
			moves = moves || p.Response.Rising(r, slot) != 0
		}
		if !moves {
			out = append(out, r)
		}
	}
	return out
}

// moving is a response in which the ranges that nothing moves read true.
type moving struct {
	match.Response
	fixed []int
}

func (m moving) Errors(dst, ohms []float64) {
	m.Response.Errors(dst, ohms)
	zero(dst, m.fixed)
}

// movingFloor bounds the limits that a moving response has.
type movingFloor struct {
	match.LimitFloor
	fixed []int
}

func (m movingFloor) Floor(r int, box *match.Box) float64 {
	if slices.Contains(m.fixed, r) {
		return 0
	}
	return m.LimitFloor.Floor(r, box)
}

func zero(dst []float64, at []int) {
	for _, i := range at {
		dst[i] = 0
	}
}

// alike is the largest error of a plan that cannot be told from a best one,
// which may really be that far off in the range in doubt; but a plan that is
// within the class is not held to be like one that is not.
func (p *Planner) alike(best Standing) float64 {
	if out := best.Doubt.Alike(); !(math.Abs(best.Moved.Error) <= p.Class && p.Class < out) {
		return out
	}
	return p.Class
}

// leastDoubt is how the surest of the best plans stands, of those that fill as
// much as the last, which has the smallest errors: what cannot be told from that
// cannot be told from any of them. A limit that is large by chance, since errors
// are small with many networks, has no say then.
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

// Alike is the largest error that cannot be told from this one: how far off its
// range may really be.
func (f Figure) Alike() float64 { return math.Abs(f.Error) + f.Limit }

// Standing is how a choice of networks leaves the meter: the worst of all whole
// ranges, and of those that the choice moves, and of these the one in Doubt, which
// may really be furthest off.
type Standing struct {
	All, Moved, Doubt Figure
	whole             int // ranges
}

// standing tries a choice of networks; a slot without one stays as it is.
func (p *Planner) standing(q *Question, nets []network.Network) (Standing, error) {
	trial, err := p.tried(q, nets)
	if err != nil {
		none := Figure{math.NaN(), math.NaN(), -1}
		return Standing{All: none, Moved: none, Doubt: none}, err
	}
	return p.standingOf(trial, unmoved(q.Problem)), nil
}

// standingOf is how a meter stands; the fixed ranges are those that nothing moves.
func (p *Planner) standingOf(trial *asbuilt.Setup, fixed []int) Standing {
	none := Figure{math.NaN(), math.NaN(), -1}
	out := Standing{All: none, Moved: none, Doubt: none}
	ohms := trial.Ohms()
	limits := trial.RangeLimits(p.Meter.State(ohms))
	for r, as := range p.Meter.Predict(ohms).Ranges {
		if !as.Whole() {
			continue
		}
		out.whole++
		one := Figure{as.ErrorPercent, limits[r].Limit, r}
		out.All = worseOf(out.All, one)
		if !slices.Contains(fixed, r) {
			out.Moved = worseOf(out.Moved, one)
			if !(one.Alike() <= out.Doubt.Alike()) {
				out.Doubt = one
			}
		}
	}
	return out
}

// worseOf is the larger error, the first of equals; NaN gives way.
func worseOf(a, b Figure) Figure {
	if math.IsNaN(a.Error) || math.Abs(b.Error) > math.Abs(a.Error) {
		return b
	}
	return a
}
