package main

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
)

// frontier is the price of fewer joints; its last row is the plan itself.
func (c *call) frontier(ctx context.Context, made *planned) ([]match.Step, error) {
	var steps []match.Step
	if c.options.parts > 1 {
		var err error
		if steps, err = made.stock.Frontier(ctx, made.problem, c.options.parts-1); err != nil {
			return nil, err
		}
	}
	last := match.Step{Parts: c.options.parts, Worst: made.plan.Worst, Error: made.plan.WorstError(), Soldered: made.plan.Parts(), Proven: made.plan.Proven}
	for _, filled := range made.plan.Filled {
		if filled {
			last.Filled++
		}
	}
	return append(steps, last), nil
}

// frontierTable shows the price of fewer joints.
func frontierTable(made *planned) report.Table {
	t := report.Table{Name: "fewer-parts", Columns: []report.Column{
		{Title: "parts a position", Key: "parts", Number: true},
		{Title: "worst error", Key: "worst_full_scale_error_percent", Number: true},
		{Title: "soldered", Key: "soldered", Number: true},
		{Title: "open", Key: "open", Number: true},
	}}
	if len(made.frontier) < 2 {
		return t
	}
	for _, f := range made.frontier {
		worst := report.PercentError(f.Error, math.NaN())
		if !math.IsNaN(f.Error) {
			worst.Text = strings.TrimLeft(worst.Text, "+-")
		}
		t.Rows = append(t.Rows, []report.Cell{
			report.Pair("at most "+strconv.Itoa(f.Parts), strconv.Itoa(f.Parts)), worst,
			report.Words(strconv.Itoa(f.Soldered)), report.Words(strconv.Itoa(len(made.open) - f.Filled)),
		})
	}
	return t
}

// The pointer is trusted to 0.2 division (common practice), and a scale of
// which nobody gave the divisions is taken to have 40 (47 CFR 73.1215: at
// least that many).
const (
	readDivisions    = 0.2
	assumedDivisions = 40
)

// dialPercent is what the dial can show at best, in percent of full scale.
func (s *setup) dialPercent() float64 {
	divisions := s.meter.Movement.Divisions
	if math.IsNaN(divisions) {
		divisions = assumedDivisions
	}
	return 100 * readDivisions / divisions
}

// enoughHint looks for the plan that spares parts without a difference that
// the dial could show; nil where there is none, or --enough was given.
func (c *call) enoughHint(ctx context.Context, s *setup, made *planned) (*report.EnoughHint, error) {
	dial := s.dialPercent()
	if made.problem.Enough > 0 || made.problem.Limit != nil || slices.Contains(made.plan.Filled, false) || !(made.plan.Worst < dial) {
		return nil, nil
	}
	relaxed := made.problem
	relaxed.Enough = dial
	plan, err := made.stock.Plan(ctx, relaxed)
	if err != nil || slices.Contains(plan.Filled, false) || plan.Parts() >= made.plan.Parts() {
		return nil, err
	}
	return &report.EnoughHint{Percent: dial, Worst: report.Some(plan.Worst), Soldered: plan.Parts()}, nil
}

// planClosing says how good the plan is and how sure the search is of it.
func (s *setup) planClosing(made *planned) []string {
	if len(made.open) == 0 {
		return []string{"nothing to plan: every position is filled; unfit one to open it"}
	}
	p := made.plan
	proof := "proven: no plan has a smaller worst error"
	if !p.Proven {
		proof = fmt.Sprintf("not proven: no plan gets below %.4g %%", p.Bound)
	}
	if p.End == match.Narrowed {
		proof += "; only the networks nearest to the targets were combined, a difference beyond any ohmmeter"
	}
	lines := []string{fmt.Sprintf("%s networks considered; %s", p.Considered, proof)}
	if made.enough != nil {
		lines = append(lines, fmt.Sprintf("--enough %.2g would solder %d parts instead of %d: a difference that the dial cannot show",
			made.enough.Percent, made.enough.Soldered, p.Parts()))
	}
	return lines
}
