package main

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
)

// What --trim has to do with a position.
const (
	toLeave = "leave"   // it stays as it is
	toTrim  = "trim"    // parts are added to what is there
	toFit   = "fit"     // it is open, and gets a network
	toWind  = "wind"    // it is open, and is made of wire
	toSwap  = "replace" // parts of the drawer alone take the place of what is there
)

// checkTrim refuses --trim where it cannot be served.
func (c *call) checkTrim(s *setup) error {
	switch class := s.class(c); {
	case !c.options.trim:
		return nil
	case c.options.enough.given():
		return misused("--trim leaves alone what is within the class; leave out --enough, and give --class PERCENT where it should be another figure")
	case math.IsNaN(class):
		return misused("--trim needs to know how true is true enough: give --class PERCENT, or a class in the meter file")
	}
	return nil
}

// toDo says what is to be done with a position.
func (s *setup) toDo(made *planned, position int) string {
	switch {
	case made.Before[position].IsNothing():
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
	var all []string
	for _, what := range []string{toTrim, toSwap, toFit, toWind, toLeave} {
		if count[what] > 0 {
			all = append(all, fmt.Sprintf("%s %d", what, count[what]))
		}
	}
	return report.List(all) + ": " + report.Counted(parts, "part") + " to solder"
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
func (c *call) showTrim(s *setup, made *planned, doc *report.Document, answer *predict.MeterAnswer) {
	solder, table := &doc.Tables[0], &doc.Tables[1]
	for i := range table.Columns { // networks round what stays are long; the watts are in CSV and JSON
		table.Columns[i].Bare = table.Columns[i].Bare || table.Columns[i].Key == "watts"
	}
	table.Columns = append(table.Columns, report.Column{Title: "to do", Key: "to_do"})
	solder.Columns = slices.Insert(solder.Columns, 1, report.Column{Title: "to do", Key: "to_do"})
	solder.Columns[2].Bare = true // what stays makes networks long
	parts, count, row := 0, map[string]int{}, 0
	for i := range s.Positions {
		what, added := s.toDo(made, i), s.added(made, i)
		if _, wound := made.wound.at(i); wound {
			what, added = toWind, nil
		}
		answer.Positions[i].ToDo, answer.Positions[i].Added = what, added
		table.Rows[i] = append(table.Rows[i], report.Words(what))
		if row < len(solder.Rows) && solder.Rows[row][0].Text == s.Positions[i].Name {
			solder.Rows[row] = slices.Insert(solder.Rows[row], 1, report.Words(what))
			row++
		}
		parts += len(added)
		count[what]++
	}
	doc.Good = doc.Good && len(made.Beyond) == 0
	within := fmt.Sprintf("within the class of %g %%", s.class(c))
	if c.options.sure {
		within += ", error and limit together"
	}
	if len(made.Open)+len(made.wait) == 0 {
		doc.BottomLine = append(doc.BottomLine, "nothing to trim: every range's error is "+within)
		return
	}
	doc.BottomLine = append(doc.BottomLine, todoWords(count, parts))
	showWhys(made, doc, answer)
	doc.BottomLine = append(append(doc.BottomLine, s.waitWords(made)...), c.proof(made))
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
		doc.BottomLine = append(doc.BottomLine, fmt.Sprintf("not %s: %s; this is the closest that %s", within, report.List(names), closest))
	}
}
