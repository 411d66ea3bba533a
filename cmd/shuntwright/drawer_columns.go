package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/inventory/table"
)

// namedColumns reads --columns: headings by the drawer's column, and those that
// stay the list's own.
func namedColumns(flags []string) (named map[string]string, own []string, err error) {
	named = map[string]string{}
	for _, flag := range flags {
		r := csv.NewReader(strings.NewReader(flag))
		r.LazyQuotes = true
		cells, err := r.Read()
		if err != nil {
			return nil, nil, misused("--columns %q: write such as ohms=\"Wert (Ohm)\",watts=Watt", flag)
		}
		for _, cell := range cells {
			name, heading, cut := strings.Cut(cell, "=")
			name, heading = strings.TrimSpace(name), strings.Trim(strings.TrimSpace(heading), `"`)
			switch {
			case !cut || heading == "":
				return nil, nil, misused("--columns %q: write such as ohms=\"Wert (Ohm)\",watts=Watt", cell)
			case name == "own":
				own = append(own, heading)
			case !slices.Contains(inventory.Columns(), name):
				return nil, nil, misused("--columns %q: the drawer has no column %q%s; own=%s keeps what is none of its own, which are %s",
					cell, name, report.Meant(name, inventory.Columns()), report.InShell(heading), strings.Join(inventory.Columns(), ", "))
			case slices.Contains(slices.Collect(maps.Values(named)), heading):
				return nil, nil, misused("--columns: %q cannot be two columns of the drawer", heading)
			case named[name] != "":
				return nil, nil, misused("--columns: %s is named twice, as %q and as %q", name, named[name], heading)
			default:
				named[name] = heading
			}
		}
	}
	return named, own, nil
}

// takenFor says in words what the columns of a list are taken for, but for those
// that are called as in the drawer.
func takenFor(list *inventory.List) []string {
	var known, own []string
	for _, taken := range list.Taken() {
		switch {
		case taken.Column == "" && taken.First != "":
			own = append(own, taken.Heading)
		case taken.Column != "" && !strings.EqualFold(taken.Column, taken.Heading):
			known = append(known, fmt.Sprintf("%s from %q", taken.Column, taken.Heading))
		}
	}
	var out []string
	if len(known) > 0 {
		out = append(out, "columns taken: "+report.List(known))
	}
	if len(own) > 0 {
		out = append(out, "columns that the program does not know, taken over as they are: "+report.List(report.Quoted(own)))
	}
	return out
}

// columnsTable is what each column of a list is taken for.
func columnsTable(list *inventory.List, detail bool) report.Table {
	t := report.Table{Name: "columns", Detail: detail, Columns: []report.Column{
		{Title: "column of the file", Key: "heading", Flexible: true}, {Title: "taken for", Key: "column"},
		{Title: "in", Key: "unit"}, {Title: "first entry", Key: "first", Flexible: true},
	}}
	for _, taken := range list.Taken() {
		what := taken.Column
		doubt := slices.IndexFunc(list.Doubtful(), func(d inventory.Taken) bool { return d.Heading == taken.Heading })
		switch {
		case doubt >= 0:
			what = fmt.Sprintf("%s? --columns %s=… or own=…", list.Doubtful()[doubt].Column, list.Doubtful()[doubt].Column)
		case what == "" && taken.First == "":
			what = "left out: empty"
		case what == "":
			what = "not known, kept"
		}
		t.Rows = append(t.Rows, []report.Cell{report.Words(taken.Heading), report.Words(what), report.Words(taken.Unit), report.Words(taken.First)})
	}
	return t
}

// refusedTable is the lines of a list that are no parts.
func refusedTable(list *inventory.List) report.Table {
	t := report.Table{Name: "refused", Columns: []report.Column{{Title: "line", Key: "line", Number: true}, {Title: "no part, because", Key: "reason", Flexible: true}}}
	for _, err := range list.Refused {
		var wrong *table.Error
		if errors.As(err, &wrong) {
			t.Rows = append(t.Rows, []report.Cell{report.Count(wrong.Line), report.Words(wrong.Reason)})
		}
	}
	return t
}
