package plan

import (
	"context"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/match"
	"shuntwright/match/solve"
)

// Step is one row of the price of fewer joints.
type Step struct {
	Parts, Filled, Soldered int
	Standing
	Equal bool // reads the same as the plan as far as can be told
}

func (s Step) fillsAs(t Step) bool { return s.Filled == t.Filled && s.whole == t.whole }

// steps are the price of fewer joints; its last row is the plan itself.
func (p *Planner) steps(ctx context.Context, made *Outcome) ([]Step, error) {
	var steps []Step
	problem := made.Problem
	problem.Needs = slices.Clone(problem.Needs)
	for parts := 1; parts < p.AtMost && ctx.Err() == nil; parts++ {
		for i := range problem.Needs {
			problem.Needs[i].AtMost = parts
		}
		plan, err := solve.Plan(ctx, made.Stock, problem)
		if err != nil {
			return nil, err
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
		enough := made.Problem.Enough
		if enough == 0 {
			enough = p.alike(leastDoubt(append(steps, last)))
		}
		markEqual(steps, &last, enough)
	}
	return append(steps, last), nil
}

// step is the row of a plan.
func (p *Planner) step(made *Outcome, parts int, plan match.Plan) (Step, error) {
	out := Step{Parts: parts, Soldered: plan.Parts()}
	for _, filled := range plan.Filled {
		if filled {
			out.Filled++
		}
	}
	var err error
	out.Standing, err = p.standing(&made.Question, plan.Networks)
	return out, err
}

// markEqual marks the steps that fill as much as the last one and read the same
// as far as can be told: within so many percent.
func markEqual(steps []Step, last *Step, enough float64) {
	for i := range steps {
		one := &steps[i]
		one.Equal = one.fillsAs(*last) && math.Abs(one.Moved.Error) <= enough
		last.Equal = last.Equal || one.Equal
	}
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

// Spare is a plan with fewer parts that the dial cannot tell from the best one.
type Spare struct {
	Percent  float64 // within which the plans are equal
	Reads    Standing
	Soldered int // parts
}

// spared looks for the plan that spares parts without a difference that the
// dial could show; nil where there is none, or what is enough was given.
func (p *Planner) spared(ctx context.Context, made *Outcome) (*Spare, error) {
	dial := p.dialPercent()
	if p.givesEnough() || made.Problem.Limit != nil || slices.Contains(made.Plan.Filled, false) || !(made.Worst() < dial) {
		return nil, nil
	}
	plan, err := solve.Plan(ctx, made.Stock, enoughProblem(made.Problem, dial))
	if err != nil || slices.Contains(plan.Filled, false) || plan.Parts() >= made.Plan.Parts() || !(plan.Worst <= dial) {
		return nil, err
	}
	reads, err := p.standing(&made.Question, plan.Networks)
	return &Spare{Percent: dial, Reads: reads, Soldered: plan.Parts()}, err
}

// Worst is what the plan goes by: the largest error of the ranges that it
// moves, or error plus limit with Sure; NaN where none is whole.
func (made *Outcome) Worst() float64 {
	if made.Problem.Limit != nil {
		return made.Plan.Worst
	}
	return math.Abs(made.reads.Moved.Error)
}
