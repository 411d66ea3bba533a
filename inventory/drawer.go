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
	at      []table.Found // of each of columns, where it is in the file
	parts   []Part
	rows    []int            // of each part, its row in the table
	index   map[string]int   // of each id, its part
	largest map[string]int64 // number of the ids R001, R002, … and W001, …
	spent   []string         // ids that no part gets any more
	changed bool
	lent    bool  // somebody has parts from All
	list    *List // what it is the file of; nil for a drawer
}

// New returns a drawer of no parts that Save will write to path, where no file
// must be then. Its file has the usual columns.
func New(path string) *Drawer {
	var names []string
	for _, c := range columns {
		if !c.rare {
			names = append(names, c.name)
		}
	}
	d := &Drawer{path: path, table: table.New(path, names...), index: map[string]int{}, largest: map[string]int64{}, changed: true}
	d.at, _ = d.find() // these names are right
	return d
}

// Read reads a drawer from a CSV file among files. The error for a file that is
// not there wraps fs.ErrNotExist; an error of what is in it is a *table.Error,
// which says file, line and column.
func Read(files safefile.Files, path string) (*Drawer, error) {
	data, stamp, err := files.Read(path)
	if err != nil {
		return nil, err
	}
	return readAs(path, data, stamp)
}

// readAs makes the drawer of a file that was read.
func readAs(path string, data []byte, stamp safefile.Stamp) (*Drawer, error) {
	d, err := parse(path, data, nil)
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
	return parse(name, data, nil)
}

func parse(name string, data []byte, list *List) (*Drawer, error) {
	t, err := table.Parse(name, data)
	if err != nil {
		return nil, err
	}
	d := &Drawer{table: t, index: make(map[string]int, t.Len()), largest: map[string]int64{}, list: list}
	if d.at, err = d.find(); err != nil {
		return nil, err
	}
	d.decimal = d.decimals()
	d.parts, d.rows = make([]Part, 0, t.Len()), make([]int, 0, t.Len())
	for row := range t.Len() {
		if t.Blank(row) {
			continue // spreadsheets leave such rows
		}
		if err := d.readRow(row); err != nil {
			if list == nil {
				return nil, err
			}
			list.Refused = append(list.Refused, err)
		}
	}
	return d, nil
}

// find returns where each of columns is in the table. Id and ohms must be there;
// in a list the id need not, and other names count for all columns.
func (d *Drawer) find() ([]table.Found, error) {
	if d.list != nil {
		return d.list.find(d.table)
	}
	all := make([]table.Column, len(columns))
	for i, c := range columns {
		all[i] = c.heading(false)
		all[i].Needed = c.name == "ohms" || c.name == "id"
	}
	return d.table.Find(all...)
}

// decimals finds out how the file writes fractions.
func (d *Drawer) decimals() decimals {
	var numbers []table.Found
	for i, c := range columns {
		if c.text == nil {
			numbers = append(numbers, d.at[i])
		}
	}
	return decimals{comma: d.table.DecimalComma(numbers...), strict: d.table.Separator() == ';'}
}

// readRow makes a part of a row and takes it into the drawer.
func (d *Drawer) readRow(row int) error {
	p, column, err := d.part(row)
	if err != nil {
		return d.table.ErrorAt(row, d.at[column].At, "%s %v", columns[column].name, err)
	}
	if wrong := p.whole(d.list != nil); wrong != nil {
		return d.table.ErrorAt(row, max(0, d.at[columnOf(wrong.column)].At), "%v", wrong)
	}
	if other, found := d.index[p.ID]; found {
		return d.table.ErrorAt(row, d.at[columnOf("id")].At, "the id %q stands in line %d already; every part needs its own", p.ID, d.table.Line(d.rows[other]))
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
	d.count(p.ID)
	d.parts, d.rows = append(d.parts, p), append(d.rows, row)
}

// cell returns a cell without the spaces round it, a number with the unit that
// the name of the column says.
func (d *Drawer) cell(row, column int) string {
	text, unit := d.table.Cell(row, d.at[column]), d.at[column].Unit
	if text == "" {
		return ""
	}
	return d.decimal.inUnit(text, unit)
}

func columnOf(name string) int {
	return slices.IndexFunc(columns, func(c column) bool { return c.name == name })
}

// Path returns the path of the drawer's file as it was given; empty for a
// drawer that was read from elsewhere.
func (d *Drawer) Path() string { return d.path }

// Parts returns the parts in the order of the file. The slice is a copy.
func (d *Drawer) Parts() []Part { return slices.Clone(d.parts) }

// All is Parts without a copy: nobody changes them, and where the drawer is changed
// they stay as they were.
func (d *Drawer) All() []Part {
	d.lent = true
	return slices.Clip(d.parts)
}

// keep lets the drawer change its parts: those that it has lent stay.
func (d *Drawer) keep() {
	if d.lent {
		d.parts, d.lent = slices.Clone(d.parts), false
	}
}

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

// Own returns what a part has in those columns of the file that mean nothing
// here, by their names as they stand there. Columns that are empty are left
// out.
func (d *Drawer) Own(id string) map[string]string {
	at, found := d.index[id]
	if !found {
		return nil
	}
	own := map[string]string{}
	for _, j := range d.own() {
		if cell := d.table.Row(d.rows[at])[j]; cell != "" {
			own[table.Unguard(strings.TrimSpace(d.table.Header()[j]))] = table.Unguard(cell)
		}
	}
	return own
}

// own are the columns of the file that mean nothing here.
func (d *Drawer) own() []int {
	var out []int
	for j := range d.table.Header() {
		if !slices.ContainsFunc(d.at, func(f table.Found) bool { return f.At == j }) {
			out = append(out, j)
		}
	}
	return out
}

// bytes returns the file as Save would write it.
func (d *Drawer) bytes() []byte { return d.table.Bytes() }
