package main

import (
	"fmt"
	"math"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
)

// What --trim has to do with a position.
const (
	toLeave = "leave"   // it stays as it is
	toTrim  = "trim"    // parts are added to what is there
	toFit   = "fit"     // it is open, and gets a network
	toSwap  = "replace" // parts of the drawer alone take the place of what is there
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

// toDo says what is to be done with a position.
func (s *setup) toDo(made *planned, position int) string {
	switch {
	case asbuilt.IsNothing(made.Before[position]):
		return toFit
	case made.Replaced[position]:
		return toSwap
	case s.changed(made, position):
		return toTrim
	}
	return toLeave
}

// todoWords count what is to be done, and the parts that it takes.
func todoWords(count map[string]int, parts int) string {
	swap := ""
	if n := count[toSwap]; n > 0 {
		swap = fmt.Sprintf("replace %d, ", n)
	}
	return fmt.Sprintf("trim %d, %sfit %d, leave %d: %d %s in all", count[toTrim], swap, count[toFit], count[toLeave], parts, report.Plural(parts, "part"))
}

// swampedWords name the positions in which what stays no longer matters much.
func (s *setup) swampedWords(made *planned) []string {
	var out []string
	for i, p := range s.Positions {
		if share, swamped := made.Swamped[i]; swamped {
			out = append(out, fmt.Sprintf("%s: replaced in effect, for what is there decides only %.2g %% of the new value", p.Name, 100*share))
		}
	}
	return out
}

// showTrim says what is to be done with every position.
func (c *call) showTrim(s *setup, made *planned, doc *report.Document, answer *report.MeterAnswer) {
	doc.Heading = fmt.Sprintf("%s: what to add to what is there, %d %s free", s.Meter.Name, made.free(), report.Plural(made.free(), "part"))
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
	doc.Good = doc.Good && len(made.Beyond) == 0
	within := fmt.Sprintf("within the class of %g %%", s.class(c))
	if c.options.sure {
		within += ", error and limit together"
	}
	if len(made.Open) == 0 {
		doc.Closing = append(doc.Closing, "nothing to trim: every range's error is "+within)
		doc.Closing = append(doc.Closing, undecidedWords(answer.Ranges)...)
		return
	}
	doc.Closing = append(doc.Closing, fmt.Sprintf("%s networks considered; %s", made.Plan.Considered, made.proof()),
		todoWords(count, parts))
	doc.Closing = append(doc.Closing, s.swampedWords(made)...)
	if len(made.Beyond) > 0 {
		var names []string
		for _, r := range made.Beyond {
			names = append(names, s.Ranges[r].Name)
		}
		closest := "parts added to what is there come"
		if len(made.Replaced) > 0 {
			closest = "these parts were found to come"
		}
		doc.Closing = append(doc.Closing, fmt.Sprintf("not %s: %s; this is the closest that %s", within, report.List(names), closest))
		return
	}
	doc.Closing = append(doc.Closing, undecidedWords(answer.Ranges)...)
}
