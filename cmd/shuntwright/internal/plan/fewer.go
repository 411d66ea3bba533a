package plan

import (
	"context"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/match/solve"
)

// Step is one row of the price of fewer joints.
type Step struct {
	predict.Frontier
	Standing
	nets []network.Network
}

func (s Step) fillsAs(t Step) bool { return s.Open == t.Open && s.whole == t.whole }

// steps are the price of fewer joints; its last row is the plan itself.
func (p *Planner) steps(ctx context.Context, made *Outcome) ([]Step, error) {
	var steps []Step
	problem := made.Problem
	problem.Needs = slices.Clone(problem.Needs)
	for parts := 1; parts < p.AtMost && ctx.Err() == nil; parts++ {
		for i := range problem.Needs {
			problem.Needs[i].AtMost = parts
		}
		plan := made.Plan
		if !plan.FirstWith(parts) {
			var err error
			if plan, err = solve.Plan(ctx, made.Stock, problem); err != nil {
				return nil, err
			}
		}
		one, err := p.step(made, parts, plan)
		if err != nil {
			return nil, err
		}
		steps = append(steps, one)
	}
	last, err := p.step(made, p.AtMost, made.Plan)
	if err != nil {
		return nil, err
	}
	made.reads = last.Standing
	if made.Problem.Limit == nil {
		err = p.markEqual(made, steps, &last)
	}
	return append(steps, last), err
}

// step is the row of a plan.
func (p *Planner) step(made *Outcome, parts int, plan match.Plan) (Step, error) {
	as, err := p.standing(&made.Question, plan.Networks)
	out := Step{predict.Frontier{Parts: parts, Worst: report.Some(math.Abs(as.All.Error)), LimitPercent: report.Some(as.All.Limit), Soldered: plan.Parts()}, as, plan.Networks}
	for _, filled := range plan.Filled {
		if !filled {
			out.Open++
		}
	}
	return out, err
}

// markEqual marks the steps that read the same as the last one as far as can be
// told: where what cannot be told counts as none.
func (p *Planner) markEqual(made *Outcome, steps []Step, last *Step) error {
	problem := made.Problem
	if problem.Enough == 0 {
		problem.Enough = p.alike(leastDoubt(append(steps, *last)))
	}
	if math.IsNaN(problem.Enough) { // no range is whole
		return nil
	}
	plan, err := solve.Judge(made.Stock, problem, last.nets)
	if err != nil {
		return err
	}
	for i := range steps {
		one, err := solve.Judge(made.Stock, problem, steps[i].nets)
		if err != nil {
			return err
		}
		steps[i].Equal = reads(one.Key, plan.Key)
		last.Equal = last.Equal || steps[i].Equal
	}
	return nil
}

// assumedDivisions are those of a scale of which nobody gave them (47 CFR
// 73.1215: at least that many).
const assumedDivisions = 40

// dialPercent is what the dial can show at best, in percent of full scale.
func (p *Planner) dialPercent() float64 {
	divisions := p.Meter.Movement.Divisions
	if math.IsNaN(divisions) {
		divisions = assumedDivisions
	}
	return 100 * readings.ReadDivisions / divisions
}

// spared looks for the plan that spares parts without a difference that the
// dial could show; nil where there is none, or what is enough was given.
func (p *Planner) spared(ctx context.Context, made *Outcome) (*predict.EnoughHint, error) {
	problem := made.Problem
	problem.Enough = p.dialPercent()
	if p.GivesEnough() || made.Problem.Limit != nil || slices.Contains(made.Plan.Filled, false) || ctx.Err() != nil {
		return nil, nil
	}
	plan, err := solve.Plan(ctx, made.Stock, problem)
	if err != nil || plan.Parts() >= made.Plan.Parts() {
		return nil, err
	}
	judged, err := solve.Judge(made.Stock, problem, made.Plan.Networks)
	if err != nil || !reads(plan.Key, judged.Key) {
		return nil, err
	}
	standing, err := p.standing(&made.Question, plan.Networks)
	moved := standing.Moved
	return &predict.EnoughHint{Percent: problem.Enough, Worst: report.Some(math.Abs(moved.Error)), LimitPercent: report.Some(moved.Limit), Soldered: plan.Parts()}, err
}
