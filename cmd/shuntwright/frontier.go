package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
)

// frontierTable shows the price of fewer joints.
func frontierTable(made *planned) report.Table {
	t := report.Table{Name: "fewer-parts", Heading: "the price of fewer joints", Detail: true, Columns: []report.Column{
		{Title: "parts a position", Key: "parts", Number: true},
		{Title: "worst error", Key: "worst_full_scale_error_percent", Number: true},
		{Title: "limit", Key: "limit_percent", Number: true},
		{Title: "soldered", Key: "soldered", Number: true},
		{Title: "open", Key: "open", Number: true},
		{Title: "equal", Key: "equal"},
	}}
	if len(made.Frontier) < 2 {
		return t
	}
	for _, f := range made.Frontier {
		t.Rows = append(t.Rows, []report.Cell{
			report.Pair("at most "+strconv.Itoa(f.Parts), strconv.Itoa(f.Parts)),
			report.PercentSize(f.All.Error, f.All.Limit), report.PercentLimit(f.All.Limit),
			report.Words(strconv.Itoa(f.Soldered)), report.Words(strconv.Itoa(len(made.Open) - f.Filled)), equalCell(f.Equal),
		})
	}
	return t
}

// frontierAnswer is the price of fewer joints in JSON.
func frontierAnswer(made *planned) []report.Frontier {
	var out []report.Frontier
	for _, f := range made.Frontier {
		out = append(out, report.Frontier{Parts: f.Parts, Worst: report.Some(math.Abs(f.All.Error)), LimitPercent: report.Some(f.All.Limit),
			Soldered: f.Soldered, Open: len(made.Open) - f.Filled, Equal: f.Equal})
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
	i := slices.IndexFunc(made.Frontier, func(f plan.Step) bool { return f.Equal })
	if i < 0 || made.Problem.Enough > 0 || made.Frontier[i].Soldered >= made.Plan.Parts() {
		return nil
	}
	return []string{fmt.Sprintf("equal: a plan with at most %d %s a position (%d soldered) reads as well as can be told: no range is further off than the best plans may really be, error and limit together",
		made.Frontier[i].Parts, report.Plural(made.Frontier[i].Parts, "part"), made.Frontier[i].Soldered)}
}

// enoughHint is what --enough would spare, in JSON; nil where it spares nothing.
func enoughHint(s *plan.Spare) *report.EnoughHint {
	if s == nil {
		return nil
	}
	return &report.EnoughHint{Percent: s.Percent, Worst: report.Some(math.Abs(s.Reads.Moved.Error)), LimitPercent: report.Some(s.Reads.Moved.Limit),
		Soldered: s.Soldered}
}

// planClosing says how to have fewer joints, and what good enough came to.
func (s *setup) planClosing(made *planned) []string {
	var lines []string
	if made.Spares != nil {
		lines = []string{fmt.Sprintf("--enough %.2g: %s instead of %d, a difference that the dial cannot show",
			made.Spares.Percent, report.Counted(made.Spares.Soldered, "part"), made.Plan.Parts())}
	}
	return append(lines, s.enoughWords(made)...)
}

// proof says what the search has proven.
func (made *planned) proof() string {
	p := made.Plan
	worst := "worst error"
	if made.Problem.Limit != nil {
		worst = "worst error plus limit"
	}
	plan := "plan"
	if made.PassedOver > 0 {
		plan = "plan of measured parts"
	}
	proof := "proven: no plan has a smaller " + worst
	switch enough := made.Problem.Enough; {
	case len(made.Replaced) > 0 && !p.Proven:
		proof = "not proven: parts in the place of what is there were tried in one position at a time"
	case made.Worst() <= enough && p.End == match.Exact:
		proof = fmt.Sprintf("proven: no %s within %.2g %% has fewer parts", plan, enough)
	case made.Worst() <= enough:
		proof = fmt.Sprintf("not proven: a %s within %.2g %% may have fewer parts%s", plan, enough, cutShort[p.End])
	case !p.Proven && math.IsNaN(p.Bound):
		proof = "not proven" + cutShort[p.End]
	case !p.Proven:
		proof = fmt.Sprintf("not proven: no plan's %s gets below %g %%%s", worst, report.Below(p.Bound), cutShort[p.End])
	}
	return proof
}

// cutShort says why a search could not prove what it was asked for.
var cutShort = map[match.Ending]string{
	match.WorstProven: "; only the worst error was pursued to the end, for the rest there were too many choices",
	match.Interrupted: "; the time was up",
	match.Narrowed:    "; there are more networks than could all be combined",
}
