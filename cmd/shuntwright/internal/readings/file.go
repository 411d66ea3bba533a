package readings

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

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

// readingColumns are the columns' names; the first three must be there.
var readingColumns = []string{"range", "reference", "indicated", "direction", "reference_limit", "reading_limit"}

// neededColumns is how many of readingColumns a file cannot do without.
const neededColumns = 3

// ReadFile reads a file of readings. An error names the file, and the line and
// column where one is wrong.
func (rr *Reader) ReadFile(path string) (*Set, error) {
	data, _, err := safefile.Read(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("reading readings: there is no file %q; it is a table with the columns %s, or leave it out and type them", path, report.List(readingColumns[:neededColumns]))
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
	at, err := findColumns(t, readingColumns, neededColumns)
	if err != nil {
		return nil, err
	}
	rr.parse = decimalsOf(t, at[1:])
	rr.set = &Set{}
	for row := range t.Len() {
		if blankRow(t.Row(row)) {
			continue // spreadsheets leave such rows
		}
		var cells [6]string
		for i, column := range at {
			if column >= 0 {
				cells[i] = strings.TrimSpace(t.Row(row)[column])
			}
		}
		if wrong, err := rr.add(cells); err != nil {
			return nil, t.ErrorAt(row, at[wrong], "%v", err)
		}
	}
	if len(rr.set.Readings) == 0 {
		return nil, t.ErrorAt(-1, 0, "no reading stands below the names of the columns; write one a line, such as %q", rr.exampleLine())
	}
	if wrong, err := rr.allZero(); err != nil {
		return nil, t.ErrorAt(firstRow(t), at[wrong], "%v", err)
	}
	rr.set.settle()
	return rr.set, nil
}

// firstRow is the first row that is not blank.
func firstRow(t *table.Table) int {
	for row := range t.Len() {
		if !blankRow(t.Row(row)) {
			return row
		}
	}
	return -1
}

// findColumns tells where the named columns of a table are, -1 where one is
// not there; the first of them, as many as needed says, must be. Case and
// spaces round a name do not count.
func findColumns(t *table.Table, names []string, needed int) ([]int, error) {
	header := t.Header()
	at := make([]int, len(names))
	for i, name := range names {
		at[i] = -1
		for j, there := range header {
			if !strings.EqualFold(strings.TrimSpace(there), name) {
				continue
			}
			if at[i] >= 0 {
				return nil, t.ErrorAt(-1, j, "columns %d and %d are both called %q; rename one", at[i]+1, j+1, name)
			}
			at[i] = j
		}
		if at[i] < 0 && i < needed {
			return nil, t.ErrorAt(-1, 0, "there is no column %q; %s must be there, and the columns are %.300q", name, report.List(names[:needed]), header)
		}
	}
	return at, nil
}

// blankRow tells a row without any text.
func blankRow(cells []string) bool {
	return !slices.ContainsFunc(cells, func(cell string) bool { return strings.TrimSpace(cell) != "" })
}

// decimalsOf is how the numbers of a file are read.
func decimalsOf(t *table.Table, at []int) quantityParser {
	if decimalComma(t, at) {
		return quantity.ParseComma
	}
	return quantity.Parse
}

// decimalComma tells whether the columns at hand are written with decimal
// commas. Only a file with semicolons can be; there one comma in a number
// tells, or that there is no point in any.
func decimalComma(t *table.Table, at []int) bool {
	if t.Separator() != ';' {
		return false
	}
	comma, point := false, false
	for row := range t.Len() {
		for _, column := range at {
			if column >= 0 {
				comma = comma || strings.Contains(t.Row(row)[column], ",")
				point = point || strings.Contains(t.Row(row)[column], ".")
			}
		}
	}
	return comma || !point
}
