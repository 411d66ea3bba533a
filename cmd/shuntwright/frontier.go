package main

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"

	"shuntwright/cmd/shuntwright/internal/calibration"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/wording"
	"shuntwright/match"
)

// step is one row of the price of fewer joints.
type step struct {
	parts, filled, soldered int
	standing
	equal bool // reads the same as the plan as far as can be told
}

// frontier is the price of fewer joints; its last row is the plan itself.
func (c *call) frontier(ctx context.Context, s *setup, made *planned) ([]step, error) {
	var steps []step
	problem := made.problem
	problem.Needs = slices.Clone(problem.Needs)
	for parts := 1; parts < c.options.parts && ctx.Err() == nil; parts++ {
		for i := range problem.Needs {
			problem.Needs[i].AtMost = parts
		}
		plan, err := made.stock.Plan(ctx, problem)
		if err != nil {
			return nil, err
		}
		one, err := s.step(made, parts, plan)
		if err != nil {
			return nil, err
		}
		steps = append(steps, one)
	}
	last, err := s.step(made, c.options.parts, made.plan)
	if err != nil {
		return nil, err
	}
	made.reads = last.standing
	if made.problem.Limit == nil {
		markEqual(steps, &last, made.problem.Enough)
	}
	return append(steps, last), nil
}

// step is the row of a plan.
func (s *setup) step(made *planned, parts int, plan match.Plan) (step, error) {
	out := step{parts: parts, soldered: plan.Parts()}
	for _, filled := range plan.Filled {
		if filled {
			out.filled++
		}
	}
	var err error
	out.standing, err = s.standing(&made.search, plan.Networks)
	return out, err
}

// markEqual marks the steps that fill as much as the last one and read the same
// as far as can be told: within what --enough says or, where it says nothing,
// with a worst error that exceeds the last one's by no more than its limit.
func markEqual(steps []step, last *step, enough float64) {
	if enough == 0 {
		enough = last.moved.alike()
	}
	for i := range steps {
		one := &steps[i]
		one.equal = one.filled == last.filled && one.whole == last.whole && math.Abs(one.moved.error) <= enough
		last.equal = last.equal || one.equal
	}
}

// frontierTable shows the price of fewer joints.
func frontierTable(made *planned) report.Table {
	t := report.Table{Name: "fewer-parts", Columns: []report.Column{
		{Title: "parts a position", Key: "parts", Number: true},
		{Title: "worst error", Key: "worst_full_scale_error_percent", Number: true},
		{Title: "limit", Key: "limit_percent", Number: true},
		{Title: "soldered", Key: "soldered", Number: true},
		{Title: "open", Key: "open", Number: true},
		{Title: "equal", Key: "equal"},
	}}
	if len(made.frontier) < 2 {
		return t
	}
	for _, f := range made.frontier {
		t.Rows = append(t.Rows, []report.Cell{
			report.Pair("at most "+strconv.Itoa(f.parts), strconv.Itoa(f.parts)),
			report.PercentSize(f.all.error, f.all.limit), report.PercentLimit(f.all.limit),
			report.Words(strconv.Itoa(f.soldered)), report.Words(strconv.Itoa(len(made.open) - f.filled)), equalCell(f.equal),
		})
	}
	return t
}

// frontierAnswer is the price of fewer joints in JSON.
func frontierAnswer(made *planned) []report.Frontier {
	var out []report.Frontier
	for _, f := range made.frontier {
		out = append(out, report.Frontier{Parts: f.parts, Worst: report.Some(math.Abs(f.all.error)), LimitPercent: report.Some(f.all.limit),
			Soldered: f.soldered, Open: len(made.open) - f.filled, Equal: f.equal})
	}
	return out
}

// equalCell marks what cannot be told from the best.
func equalCell(equal bool) report.Cell {
	if equal {
		return report.Pair("yes", "true")
	}
	return report.Words("")
}

// equalWords name the row with the fewest parts that reads as well as the plan.
func equalWords(made *planned) []string {
	i := slices.IndexFunc(made.frontier, func(f step) bool { return f.equal })
	if i < 0 || made.problem.Enough > 0 || made.frontier[i].soldered >= made.plan.Parts() {
		return nil
	}
	return []string{fmt.Sprintf("equal: a plan with at most %d %s a position (%d soldered) reads as well as can be told: its worst error exceeds the best one's by less than the limit; --enough measured takes no more parts than that",
		made.frontier[i].parts, wording.Plural(made.frontier[i].parts, "part"), made.frontier[i].soldered)}
}

// assumedDivisions are those of a scale of which nobody gave them (47 CFR
// 73.1215: at least that many).
const assumedDivisions = 40

// dialPercent is what the dial can show at best, in percent of full scale.
func (s *setup) dialPercent() float64 {
	divisions := s.Meter.Movement.Divisions
	if math.IsNaN(divisions) {
		divisions = assumedDivisions
	}
	return 100 * calibration.ReadDivisions / divisions
}

// enoughHint looks for the plan that spares parts without a difference that
// the dial could show; nil where there is none, or --enough was given.
func (c *call) enoughHint(ctx context.Context, s *setup, made *planned) (*report.EnoughHint, error) {
	dial := s.dialPercent()
	if c.options.enough.given() || made.problem.Limit != nil || slices.Contains(made.plan.Filled, false) || !(made.worst() < dial) {
		return nil, nil
	}
	plan, err := made.stock.Plan(ctx, enoughProblem(made.problem, dial))
	if err != nil || slices.Contains(plan.Filled, false) || plan.Parts() >= made.plan.Parts() || !(plan.Worst <= dial) {
		return nil, err
	}
	reads, err := s.standing(&made.search, plan.Networks)
	return &report.EnoughHint{Percent: dial, Worst: report.Some(math.Abs(reads.moved.error)), LimitPercent: report.Some(reads.moved.limit),
		Soldered: plan.Parts()}, err
}

// planClosing says how good the plan is and how sure the search is of it.
func (s *setup) planClosing(made *planned) []string {
	if len(made.open) == 0 {
		return []string{"nothing to plan: every position is filled; unfit one to open it"}
	}
	p := made.plan
	lines := []string{fmt.Sprintf("%s networks considered; %s", p.Considered, made.proof())}
	if made.enough != nil {
		lines = append(lines, fmt.Sprintf("--enough %.2g would solder %d %s instead of %d: a difference that the dial cannot show",
			made.enough.Percent, made.enough.Soldered, wording.Plural(made.enough.Soldered, "part"), p.Parts()))
	}
	return slices.Concat(lines, equalWords(made), enoughWords(made))
}

// proof says what the search has proven.
func (made *planned) proof() string {
	p := made.plan
	worst := "worst error"
	if made.problem.Limit != nil {
		worst = "worst error plus limit"
	}
	proof := "proven: no plan has a smaller " + worst
	switch enough := made.problem.Enough; {
	case made.worst() <= enough && p.End == match.Exact:
		proof = fmt.Sprintf("proven: no plan within %.2g %% has fewer parts", enough)
	case made.worst() <= enough:
		proof = fmt.Sprintf("not proven: a plan within %.2g %% may have fewer parts", enough)
	case !p.Proven:
		proof = fmt.Sprintf("not proven: no plan's %s gets below %.4g %%", worst, p.Bound)
	}
	if p.End == match.Narrowed {
		proof += "; there are more networks than could all be combined"
	}
	return proof
}

// worst is what the plan goes by: the largest error of the ranges that it
// moves, or error plus limit with --sure; NaN where none is whole.
func (made *planned) worst() float64 {
	if made.problem.Limit != nil {
		return made.plan.Worst
	}
	return math.Abs(made.reads.moved.error)
}
