package readings

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/safefile"
	"shuntwright/inventory/table"
	"shuntwright/meter/quantity"
)

// readingColumn is one column of a file of readings.
type readingColumn int

// The columns, in the order in which the program writes them.
const (
	rangeColumn readingColumn = iota
	referenceColumn
	indicatedColumn
	directionColumn
	referenceLimitColumn
	readingLimitColumn
)

// readingColumns are the columns by name; the first three must be there.
var readingColumns = []table.Column{
	{Name: "range", Also: []string{"bereich"}, Needed: true}, {Name: "reference", Also: []string{"applied"}, Needed: true},
	{Name: "indicated", Also: []string{"shown"}, Needed: true}, {Name: "direction"}, {Name: "reference_limit"}, {Name: "reading_limit"},
}

// names are what columns are called; those only that must be there, where asked.
func names(columns []table.Column, needed bool) []string {
	var out []string
	for _, c := range columns {
		if c.Needed || !needed {
			out = append(out, c.Name)
		}
	}
	return out
}

// ReadFile reads a file of readings, one of these. An error names the file, and the
// line and column where one is wrong.
func (rr *Reader) ReadFile(files safefile.Files, path string) (*Set, error) {
	data, _, err := files.Read(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("reading readings: there is no file %q; it is a table with the columns %s, or leave it out and type them", path, report.List(names(readingColumns, true)))
	}
	if err != nil {
		return nil, fmt.Errorf("reading readings: %w", err)
	}
	return rr.Parse(path, data)
}

// Parse reads the bytes of a file of readings; name is what errors call it.
func (rr *Reader) Parse(name string, data []byte) (*Set, error) {
	t, err := table.Parse(name, data)
	if err != nil {
		return nil, err
	}
	at, err := t.Find(readingColumns...)
	if err != nil {
		return nil, err
	}
	rr.parse = decimalsOf(t, at[1:])
	rr.set = &Set{}
	visits := visitsOf(t) // each is of what was fitted then: the last is judged
	if n := len(visits); n > 1 {
		rr.set.Left = fmt.Sprintf("of the %d visits in %s the last is judged; check --history shows them all", n, name)
	}
	visit := table.Found{At: slices.Index(t.Header(), historyColumns[visitColumn].Name)}
	for row := range t.Len() {
		if t.Blank(row) || len(visits) > 1 && t.Cell(row, visit) != visits[len(visits)-1] {
			continue // spreadsheets leave blank rows
		}
		if wrong, err := rr.add(cellsOf(t, row, at)); err != nil {
			return nil, t.ErrorAt(row, at[wrong].At, "%v", err)
		}
	}
	if err := rr.onlyPegged(); err != nil {
		return nil, t.ErrorAt(firstRow(t), at[indicatedColumn].At, "%v", err)
	}
	if len(rr.set.Readings) == 0 {
		return nil, t.ErrorAt(-1, 0, "no reading stands below the names of the columns; write one a line, such as %q", rr.exampleLine())
	}
	if err := rr.nothingApplied(); err != nil {
		return nil, t.ErrorAt(firstRow(t), at[referenceColumn].At, "%v", err)
	}
	rr.set.settle()
	return rr.set, nil
}

// cellsOf are the texts of one reading, of which the columns are there.
func cellsOf(t *table.Table, row int, at []table.Found) (cells [6]string) {
	for i, column := range at {
		cells[i] = t.Cell(row, column)
	}
	return cells
}

// visitsOf are the visits of the rows, in their order, where the table is a
// history; none where it is not.
func visitsOf(t *table.Table) []string {
	var out []string
	at := slices.Index(t.Header(), historyColumns[visitColumn].Name)
	for row := range t.Len() {
		if visit := t.Cell(row, table.Found{At: at}); visit != "" && !slices.Contains(out, visit) {
			out = append(out, visit)
		}
	}
	return out
}

// firstRow is the first row that is not blank.
func firstRow(t *table.Table) int {
	for row := range t.Len() {
		if !t.Blank(row) {
			return row
		}
	}
	return -1
}

// decimalsOf is how the numbers of a file are read.
func decimalsOf(t *table.Table, numbers []table.Found) quantityParser {
	if t.DecimalComma(numbers...) {
		return quantity.ParseComma
	}
	return quantity.Parse
}
