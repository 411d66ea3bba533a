package inventory

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"shuntwright/inventory/safefile"
	"shuntwright/inventory/table"
)

// Drawer is the parts of a file, in the file's order, and the file: columns
// that mean nothing here, blank lines and the writing of every cell that is
// not changed are kept. A Drawer is for one goroutine at a time.
type Drawer struct {
	path    string // empty: of no file
	stamp   safefile.Stamp
	table   *table.Table
	decimal decimals
	at      []int // of each of columns, its index in the file, or -1
	parts   []Part
	rows    []int          // of each part, its row in the table
	index   map[string]int // of each id, its part
	largest int64          // number of the ids R001, R002, …
	changed bool
	loose   bool // parts need no id
}

// New returns a drawer of no parts that Save will write to path, where no file
// must be then. Its file has all columns.
func New(path string) *Drawer {
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.name
	}
	d := &Drawer{path: path, table: table.New(path, names...), index: map[string]int{}, changed: true}
	d.at, _ = find(d.table) // these names are right
	return d
}

// Read reads a drawer from a CSV file. The error for a file that is not there
// wraps fs.ErrNotExist; an error of what is in it is a *table.Error, which
// says file, line and column.
func Read(path string) (*Drawer, error) {
	data, stamp, err := safefile.Read(path)
	if err != nil {
		return nil, err
	}
	d, err := parse(path, data, false)
	if err != nil {
		return nil, err
	}
	d.path, d.stamp = path, stamp
	return d, nil
}

// ParseDrawer reads a drawer from what is no file of its own; name stands for
// it in errors. Such a drawer cannot be saved.
func ParseDrawer(name string, r io.Reader) (*Drawer, error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("read %q: %w", name, err)
	}
	return parse(name, data, false)
}

func parse(name string, data []byte, loose bool) (*Drawer, error) {
	t, err := table.Parse(name, data)
	if err != nil {
		return nil, err
	}
	d := &Drawer{table: t, index: make(map[string]int, t.Len()), loose: loose}
	if d.at, err = find(t); err != nil {
		return nil, err
	}
	for i, c := range columns[:2] { // id and ohms
		if d.at[i] < 0 && !(loose && c.name == "id") {
			return nil, t.ErrorAt(-1, 0, "there is no column %q; the columns are %.300q", c.name, t.Header())
		}
	}
	d.decimal = d.decimals()
	d.parts, d.rows = make([]Part, 0, t.Len()), make([]int, 0, t.Len())
	for row := range t.Len() {
		if blank(t.Row(row)) {
			continue // spreadsheets leave such rows
		}
		if err := d.readRow(row); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// find returns where each of columns is in a table. Case and spaces round a
// name do not count.
func find(t *table.Table) ([]int, error) {
	header := t.Header()
	at := make([]int, len(columns))
	for i, c := range columns {
		at[i] = -1
		for j, name := range header {
			if !strings.EqualFold(strings.TrimSpace(name), c.name) {
				continue
			}
			if at[i] >= 0 {
				return nil, t.ErrorAt(-1, j, "columns %d and %d are both called %q; rename one", at[i]+1, j+1, c.name)
			}
			at[i] = j
		}
	}
	return at, nil
}

// decimals finds out how the file writes fractions. Only a file with
// semicolons can be written with decimal commas throughout; there one comma in
// a number tells, or that there is no point in any.
func (d *Drawer) decimals() decimals {
	if d.table.Separator() != ';' {
		return decimals{}
	}
	comma, point := false, false
	for row := range d.table.Len() {
		for i, c := range columns {
			if c.text == nil && d.at[i] >= 0 {
				cell := d.table.Row(row)[d.at[i]]
				comma = comma || strings.Contains(cell, ",")
				point = point || strings.Contains(cell, ".")
			}
		}
	}
	return decimals{comma: comma || !point, strict: true}
}

func blank(cells []string) bool {
	return !slices.ContainsFunc(cells, func(cell string) bool { return strings.TrimSpace(cell) != "" })
}

// readRow makes a part of a row and takes it into the drawer.
func (d *Drawer) readRow(row int) error {
	p, column, err := d.part(row)
	if err != nil {
		return d.table.ErrorAt(row, d.at[column], "%s %v", columns[column].name, err)
	}
	if wrong := p.whole(d.loose); wrong != nil {
		return d.table.ErrorAt(row, max(0, d.at[columnOf(wrong.column)]), "%v", wrong)
	}
	if other, found := d.index[p.ID]; found {
		return d.table.ErrorAt(row, d.at[columnOf("id")], "the id %q stands in line %d already; every part needs its own", p.ID, d.table.Line(d.rows[other]))
	}
	d.take(p, row)
	return nil
}

// part reads a row; where a cell cannot be read, column is its index in
// columns.
func (d *Drawer) part(row int) (p Part, column int, err error) {
	p = NewPart(Part{}.Ohms)
	for i, c := range columns {
		if cell := d.cell(row, i); cell != "" {
			if err := c.read(&p, cell, d.decimal); err != nil {
				return p, i, err
			}
		}
	}
	return p, 0, nil
}

// take puts a part at the end of the list.
func (d *Drawer) take(p Part, row int) {
	if p.ID != "" {
		d.index[p.ID] = len(d.parts)
	}
	d.largest = max(d.largest, number(p.ID))
	d.parts, d.rows = append(d.parts, p), append(d.rows, row)
}

// cell returns a cell without the spaces round it; of a column that the file
// does not have, nothing.
func (d *Drawer) cell(row, column int) string {
	if d.at[column] < 0 {
		return ""
	}
	return strings.TrimSpace(d.table.Row(row)[d.at[column]])
}

func columnOf(name string) int {
	return slices.IndexFunc(columns, func(c column) bool { return c.name == name })
}

// Path returns the path of the drawer's file as it was given; empty for a
// drawer that was read from elsewhere.
func (d *Drawer) Path() string { return d.path }

// Parts returns the parts in the order of the file. The slice is a copy.
func (d *Drawer) Parts() []Part { return slices.Clone(d.parts) }

// Len returns the number of parts.
func (d *Drawer) Len() int { return len(d.parts) }

// Find returns the part with an id and its index in Parts.
func (d *Drawer) Find(id string) (Part, int, bool) {
	at, found := d.index[id]
	if !found {
		return Part{}, -1, false
	}
	return d.parts[at], at, true
}

// Columns returns the names of all columns of the file as they stand there,
// those included that mean nothing to this package.
func (d *Drawer) Columns() []string { return d.table.Header() }

// Cells returns the cells of a part's row as they stand in the file, in the
// order of Columns; nil where no part has the id.
func (d *Drawer) Cells(id string) []string {
	at, found := d.index[id]
	if !found {
		return nil
	}
	return slices.Clone(d.table.Row(d.rows[at]))
}

// Bytes returns the file as Save would write it.
func (d *Drawer) Bytes() []byte { return d.table.Bytes() }
