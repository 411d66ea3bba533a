package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/predict"
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
			report.Words(strconv.Itoa(f.Soldered)), report.Words(strconv.Itoa(f.Open)), equalCell(f.Equal),
		})
	}
	return t
}

// frontierAnswer is the price of fewer joints in JSON.
func frontierAnswer(made *planned) []predict.Frontier {
	var out []predict.Frontier
	for _, f := range made.Frontier {
		out = append(out, f.Frontier)
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

// planClosing says how to have fewer joints, and what good enough came to.
func (s *setup) planClosing(made *planned) []string {
	var lines []string
	if made.Exact != nil && made.Problem.Enough > 0 && !isNumber(made.Best.Error) {
		lines = append(lines, floorWords(made))
	}
	if made.Spares != nil {
		lines = append(lines, fmt.Sprintf("--enough %.2g: %s instead of %d, a difference that the dial cannot show",
			made.Spares.Percent, report.Counted(made.Spares.Soldered, "part"), made.Plan.Parts()))
	}
	return append(lines, s.enoughWords(made)...)
}

// floorWords say what --enough came to.
func floorWords(made *planned) string {
	if spared := made.Exact.Parts() - made.Plan.Parts(); spared > 0 {
		return fmt.Sprintf("--enough %g spares %s", made.Problem.Enough, report.Counted(spared, "part"))
	}
	return fmt.Sprintf("--enough %g changes nothing: without it there are as few parts", made.Problem.Enough)
}

// proof says what the search has proven, and where it could not, what is known.
func (c *call) proof(made *planned) string {
	p, problem := made.Plan, made.Problem
	plan := "plan"
	if made.PassedOver > 0 {
		plan = "plan of measured parts"
	}
	switch {
	case len(made.Replaced) > 0 && !p.Proven:
		return "not proven: parts in the place of what is there were tried in one position at a time"
	case !p.Proven:
		return "not proven" + made.bound() + c.cutShort(p.End)
	case problem.Enough > 0 && len(p.Key.Within)+len(p.Key.Outside) == 0:
		return fmt.Sprintf("proven: no %s within %.2g %% has fewer parts", plan, problem.Enough)
	case problem.Enough > 0:
		return fmt.Sprintf("proven: errors within %.2g %% counting as none, no %s is better, or as good with fewer parts", problem.Enough, plan)
	case problem.Resolution == 0 && p.End == match.WorstProven:
		return "proven: no plan has a smaller " + made.counts() + "; for the other ranges there were too many choices"
	case problem.Resolution == 0:
		return "proven: no plan has a smaller " + made.counts()
	}
	return fmt.Sprintf("proven: no %s is better by a step of %g %%, or as good with fewer parts", plan, problem.Resolution)
}

// counts is what ranges go by.
func (made *planned) counts() string {
	if made.Problem.Limit != nil {
		return "worst error plus limit"
	}
	return "worst error"
}

// bound is what no plan gets below, where that says something.
func (made *planned) bound() string {
	if !(made.Plan.Bound > 0) {
		return ""
	}
	return fmt.Sprintf(": no plan's %s gets below %g %%", made.counts(), report.Below(made.Plan.Bound))
}

// moreTime is a time limit for a search that ours was too short for.
func (c *call) moreTime() string {
	text := max(time.Minute, 6*c.options.timeLimit).String()
	if strings.HasSuffix(text, "m0s") {
		return strings.TrimSuffix(text, "0s")
	}
	return text
}

// cutShort says why a search could not prove what it was asked for, and what may
// be had by more of it.
func (c *call) cutShort(end match.Ending) string {
	switch {
	case c.ctx.Err() != nil:
		return "; interrupted: this is the best so far"
	case end == match.Interrupted && c.options.timeLimit > 0:
		return fmt.Sprintf("; the time was up (%v), --time-limit %s may find a better one or prove it", c.options.timeLimit, c.moreTime())
	case end == match.Interrupted:
		return "; the search was ended"
	case end == match.Narrowed:
		return "; there are more networks than could all be combined"
	}
	return "; only the worst error was pursued to the end"
}

// enough is --enough: an error in percent up to which plans are equally good,
// or what the measurements can tell. The zero value: not given.
type enough struct {
	percent
	measured bool
}

// given tells whether errors within something are to be equal.
func (e enough) given() bool { return e.measured || e.percent > 0 }

func (e *enough) Set(text string) error {
	*e = enough{}
	if e.measured = strings.TrimSpace(text) == "measured"; e.measured {
		return nil
	}
	if err := e.percent.Set(text); err != nil {
		return fmt.Errorf("%w; or the word measured", err)
	}
	return nil
}

// checkEnough refuses what --enough cannot mean.
func (c *call) checkEnough() error {
	if c.options.enough.measured && c.options.sure {
		return misused("--enough measured with --sure: what the measurements cannot tell is counted already, as the limit beside each error; give a figure, such as --enough 1")
	}
	return nil
}

// enoughWords say what --enough measured came to.
func (s *setup) enoughWords(made *planned) []string {
	if !isNumber(made.Best.Error) {
		return nil
	}
	b := made.Best
	where := fmt.Sprintf("%s: %s %s", s.Ranges[b.Range].Name, report.PercentSize(b.Error, b.Limit).Text, report.PercentLimit(b.Limit).Text)
	surest := "the surest plan"
	if !made.Surest {
		surest = "the surest of the best plans"
	}
	which := "of these this one has few parts"
	if made.Plan.Proven {
		which = "of these this one has the fewest parts"
	}
	if made.PassedOver > 0 {
		which += " without taking any that was never measured"
	}
	if class := made.Problem.Enough; class < b.Alike() {
		return []string{fmt.Sprintf("--enough measured: even %s may really be %.2g %% off (%s), beyond the class, so that errors within the class of %s %% count as none; %s",
			surest, b.Alike(), where, report.Exact(class), which)}
	}
	return []string{fmt.Sprintf("--enough measured: even %s may really be %.2g %% off (%s), so that errors within %.2g %% count as none; %s",
		surest, b.Alike(), where, made.Problem.Enough, which)}
}
