package main

import (
	"context"
	"fmt"
	"math"
	"math/big"
	"slices"

	"shuntwright/cmd/shuntwright/internal/bench"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/wording"
	"shuntwright/match"
	"shuntwright/meter/wiring"
)

// What --trim has to do with a position.
const (
	toLeave = "leave" // it stays as it is
	toTrim  = "trim"  // parts are added to what is there
	toFit   = "fit"   // it is open, and gets a network
)

// checkTrim refuses --trim where it cannot be served.
func (c *call) checkTrim(s *setup) error {
	switch class := s.class(c); {
	case !c.options.trim:
		return nil
	case c.options.enough.given():
		return misused("--trim leaves alone what is within the class; leave out --enough, and give --class PERCENT where it should be another figure")
	case math.IsNaN(class) || class <= 0:
		return misused("--trim needs to know how true is true enough: give --class PERCENT, or a class in the meter file")
	}
	return nil
}

// keepAll lets what is fitted stay, in every position.
func (s *setup) keepAll(kept map[int]wiring.Network) {
	for i, n := range s.Networks {
		if _, stays := kept[i]; !stays && !s.IsOpen(i) {
			kept[i] = n
		}
	}
}

// letStay makes sure that what is there may stay as it is: however far it is
// off, and whatever its ratings say. No trimming makes it carry more than it
// does now, and an overload is warned of.
func letStay(need *match.Need) {
	off := math.Abs(need.Keep/need.Target - 1)
	need.Within = max(need.Within, off*(1+1e-9))
	need.KeepBears = max(need.KeepBears, need.Flow)
}

// beyond are the ranges that do not read true: their error, with --sure their
// error and limit together, is more than the class.
func (c *call) beyond(s *setup) []int {
	const rounding = 1e-9
	var out []int
	ohms := s.Ohms()
	limits := s.RangeLimits(s.Meter.State(ohms))
	for r, p := range s.Meter.Predict(ohms).Ranges {
		off := math.Abs(p.ErrorPercent)
		if c.options.sure {
			off += limits[r].Limit
		}
		if p.Whole() && off > s.class(c)+rounding {
			out = append(out, r)
		}
	}
	return out
}

// findTrim finds the fewest parts that bring every range within the class.
// Where some cannot be brought there, they come as close as they can, and the
// positions that do not move them are asked for again: the first answer made
// all errors as small as can be, and what reads true is to be left alone.
func (c *call) findTrim(ctx context.Context, s *setup, made *planned) (map[int]wiring.Network, error) {
	var err error
	if made.plan, err = c.trimPlan(ctx, s, made); err != nil {
		return nil, err
	}
	if made.reads, err = s.standing(&made.search, made.plan.Networks); err != nil {
		return nil, err
	}
	networks := s.wired(&made.search, made.plan.Networks)
	trial, err := s.tried(&made.search, made.plan.Networks)
	if err != nil {
		return nil, err
	}
	if made.beyond = c.beyond(trial); len(made.beyond) == 0 {
		return networks, nil
	}
	held, rest := c.split(s, made)
	if len(rest.open) == 0 {
		return networks, nil
	}
	if err := c.pose(held, rest); err != nil {
		return nil, err
	}
	again, err := rest.stock.Plan(ctx, rest.problem)
	if err != nil || slices.Contains(again.Filled, false) || !(again.Worst <= rest.problem.Enough) {
		return networks, err // only where the time is up
	}
	for position, n := range held.wired(rest, again.Networks) {
		networks[position] = n
	}
	return networks, nil
}

// manyNetworks is how many networks a coupled position may have for the search
// to look at all of them.
const manyNetworks = 1 << 16

// trimPlan asks for the fewest parts. Where positions are coupled and have
// more networks than a search can combine, the nearest of them would hide those
// with few parts; there parts are added one at a time where they are wanted.
func (c *call) trimPlan(ctx context.Context, s *setup, made *planned) (match.Plan, error) {
	var few match.Plan
	var err error
	if coupled(made.problem) {
		if few, err = c.oneAtATime(ctx, s, made); err != nil {
			return few, err
		}
		count := match.Count(made.stock.Len(), c.options.parts, true)
		if few.Networks != nil && (!count.IsInt64() || count.Int64() > manyNetworks) {
			return few, nil
		}
	}
	plan, err := made.stock.Plan(ctx, made.problem)
	if few.Networks != nil && plan.End != match.Exact && (few.Parts() < plan.Parts() || !(plan.Worst <= made.problem.Enough)) {
		return few, err
	}
	return plan, err
}

// coupled tells whether a range depends on more than one slot, or a slot moves
// more than one range.
func coupled(p match.Problem) bool {
	of := make([]int, len(p.Needs))
	for r := range p.Ranges {
		slots := 0
		for slot := range p.Needs {
			if p.Response.Rising(r, slot) != 0 {
				slots++
				of[slot]++
			}
		}
		if slots > 1 {
			return true
		}
	}
	return slices.Max(of) > 1
}

// oneAtATime plans with one part a position, and lets those that move a range
// beyond the class have one more until none is beyond. A zero Plan: that does
// not come to an end. That no plan has fewer parts is likely and not proven.
func (c *call) oneAtATime(ctx context.Context, s *setup, made *planned) (match.Plan, error) {
	problem := made.problem
	problem.Needs = slices.Clone(problem.Needs)
	for i := range problem.Needs {
		problem.Needs[i].AtMost = 1
	}
	for {
		plan, err := made.stock.Plan(ctx, problem)
		if err != nil {
			return plan, err
		}
		trial, err := s.tried(&made.search, plan.Networks)
		if err != nil {
			return plan, err
		}
		beyond := c.beyond(trial)
		if len(beyond) == 0 && !slices.Contains(plan.Filled, false) {
			plan.Bound, plan.Proven, plan.End = 0, false, match.WorstProven
			plan.Considered = new(big.Int).Mul(match.Count(made.stock.Len(), c.options.parts, true), big.NewInt(int64(len(problem.Needs))))
			return plan, nil
		}
		raised := false
		for slot := range problem.Needs {
			need := &problem.Needs[slot]
			if need.AtMost < c.options.parts && (!plan.Filled[slot] || movesAny(problem, beyond, slot)) {
				need.AtMost++
				raised = true
			}
		}
		if !raised || ctx.Err() != nil {
			return match.Plan{}, nil
		}
	}
}

// movesAny tells whether a slot moves one of the ranges.
func movesAny(p match.Problem, ranges []int, slot int) bool {
	return slices.ContainsFunc(ranges, func(r int) bool { return p.Response.Rising(r, slot) != 0 })
}

// split holds what moves the ranges beyond the class, and what stays open, as
// the plan has it; the rest is a search of its own among the parts left.
func (c *call) split(s *setup, made *planned) (held *setup, rest *search) {
	rest = &search{kept: made.kept}
	nets := slices.Clone(made.plan.Networks)
	for slot, position := range made.open {
		if !movesAny(made.problem, made.beyond, slot) && made.plan.Filled[slot] {
			rest.open = append(rest.open, position)
			nets[slot] = match.Network{}
		}
	}
	used := map[int]bool{}
	for _, n := range nets {
		for _, part := range n.Parts() {
			used[made.chosen[part]] = true
		}
	}
	rest.chosen = slices.DeleteFunc(slices.Clone(made.chosen), func(i int) bool { return used[i] })
	held, err := s.tried(&made.search, nets)
	if err != nil || len(rest.chosen) == 0 {
		rest.open = nil
	}
	return held, rest
}

// toDo says what is to be done with a position.
func (s *setup) toDo(made *planned, position int) string {
	switch {
	case bench.IsNothing(made.before[position]):
		return toFit
	case s.changed(made, position):
		return toTrim
	}
	return toLeave
}

// showTrim says what is to be done with every position.
func (c *call) showTrim(s *setup, made *planned, doc *report.Document, answer *report.MeterAnswer) {
	doc.Heading = fmt.Sprintf("%s: what to add to what is there, %d %s free", s.Meter.Name, len(made.chosen), wording.Plural(len(made.chosen), "part"))
	table := &doc.Tables[0]
	for i := range table.Columns { // networks round what stays are long; the watts are in CSV and JSON
		table.Columns[i].Bare = table.Columns[i].Bare || table.Columns[i].Key == "watts"
	}
	table.Columns = append(table.Columns, report.Column{Title: "to do", Key: "to_do"})
	parts, count := 0, map[string]int{}
	for i := range s.Positions {
		what, added := s.toDo(made, i), s.added(made, i)
		answer.Positions[i].ToDo, answer.Positions[i].Added = what, added
		table.Rows[i] = append(table.Rows[i], report.Words(what))
		parts += len(added)
		count[what]++
	}
	doc.Good = doc.Good && len(made.beyond) == 0
	within := fmt.Sprintf("within the class of %g %%", s.class(c))
	if c.options.sure {
		within += ", error and limit together"
	}
	if len(made.open) == 0 {
		doc.Closing = append(doc.Closing, "nothing to trim: every range reads true, "+within)
		return
	}
	doc.Closing = append(doc.Closing, fmt.Sprintf("%s networks considered; %s", made.plan.Considered, made.proof()),
		fmt.Sprintf("trim %d, fit %d, leave %d: %d %s in all", count[toTrim], count[toFit], count[toLeave], parts, wording.Plural(parts, "part")))
	if len(made.beyond) > 0 {
		var names []string
		for _, r := range made.beyond {
			names = append(names, s.Ranges[r].Name)
		}
		doc.Closing = append(doc.Closing, fmt.Sprintf("not %s: %s; this is the closest that these parts come", within, wording.List(names)))
	}
}
