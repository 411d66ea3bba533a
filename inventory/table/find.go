package table

import (
	"slices"
	"strings"
	"unicode"
)

// Column is one that a file may have.
type Column struct {
	Name   string   // as the program writes it
	Also   []string // other names that people give it, in lower case
	Needed bool     // a file without it is refused
	// Unit tells whether a text is a unit of the column: one behind its name, as
	// in "value (kOhm)" or "value / V", or one that is alone all of the name, as
	// in "kOhm". Nil: a name holds no unit.
	Unit func(text string, alone bool) bool
}

// Found is where a column is in a file, and the unit that its name says.
type Found struct {
	At   int    // -1: it is not there
	Unit string // of cells that name none; empty: nothing is said
}

// There tells whether the file has the column.
func (f Found) There() bool { return f.At >= 0 }

// Find returns where columns are in a table, in their order. Case, spaces round
// a name, and whether its words are parted by spaces or underscores do not
// count. A column that stands under its own name is that, and no other column
// by another name; where a file has one under its own name, other names for it
// mean nothing. Where it has two under other names, nobody can tell which is
// meant: that is an *Error, as is a name that stands twice, or for two columns,
// and a needed column that is missing.
func (t *Table) Find(columns ...Column) ([]Found, error) {
	found := make([]Found, len(columns))
	var err error
	var own []int // where columns stand under their own names
	for i, c := range columns {
		if found[i], err = t.one(c, c.called, nil); err != nil {
			return nil, err
		}
		own = append(own, found[i].At)
	}
	for i, c := range columns {
		if found[i].There() {
			continue
		}
		if found[i], err = t.one(c, c.alsoCalled, own); err != nil {
			return nil, err
		}
		if c.Needed && !found[i].There() {
			return nil, t.ErrorAt(-1, 0, "there is no column %q; the columns are %.300q, and %s", c.Name, t.header.cells, needed(columns))
		}
	}
	for i := range columns {
		for j := range i {
			if at := found[i].At; at >= 0 && at == found[j].At {
				return nil, t.ErrorAt(-1, at, "column %d, %q, could be %q as well as %q; rename it", at+1, t.header.cells[at], columns[j].Name, columns[i].Name)
			}
		}
	}
	return found, nil
}

// needed says which columns must be there.
func needed(columns []Column) string {
	var names []string
	for _, c := range columns {
		if c.Needed {
			names = append(names, c.Name)
		}
	}
	if len(names) == 1 {
		return "it must be there"
	}
	return strings.Join(names, ", ") + " must be there"
}

// one finds the column whose name is called so, where no other stands.
func (t *Table) one(c Column, called func(header string) (unit string, is bool), others []int) (Found, error) {
	found := Found{At: -1}
	for j, header := range t.header.cells {
		unit, is := called(header)
		switch {
		case !is || slices.Contains(others, j):
		case found.There() && plain(header) == plain(t.header.cells[found.At]):
			return found, t.ErrorAt(-1, j, "columns %d and %d are both called %q; rename one", found.At+1, j+1, strings.TrimSpace(header))
		case found.There():
			return found, t.ErrorAt(-1, j, "columns %d and %d, %q and %q, can both be %q; rename one", found.At+1, j+1, t.header.cells[found.At], header, c.Name)
		default:
			found = Found{j, unit}
		}
	}
	return found, nil
}

// Is tells whether a file would have the column under a name.
func (c Column) Is(header string) bool {
	_, own := c.called(header)
	_, other := c.alsoCalled(header)
	return own || other
}

// called tells whether a header is the column's own name, and the unit in it.
func (c Column) called(header string) (unit string, is bool) {
	return c.isOne(header, func(name string) bool { return name == plain(c.Name) })
}

// alsoCalled tells whether a header is another name of the column.
func (c Column) alsoCalled(header string) (unit string, is bool) {
	if text := strings.TrimSpace(header); c.isUnit(text, true) {
		return text, true
	}
	return c.isOne(header, func(name string) bool { return slices.Contains(c.Also, name) })
}

// isOne tells whether a header is one of some names, with a unit or without.
func (c Column) isOne(header string, known func(name string) bool) (unit string, is bool) {
	if known(plain(header)) {
		return "", true
	}
	name, unit := UnitOf(header)
	return unit, known(plain(name)) && c.isUnit(unit, false)
}

func (c Column) isUnit(text string, alone bool) bool { return c.Unit != nil && c.Unit(text, alone) }

// UnitOf parts what a column is called into a name and the unit in it, which
// stands in brackets, behind a stroke or "in", or is the last word:
// "Wert (kOhm)", "R / kOhm", "R in kOhm", "value kOhm". Where there is nothing
// of that the unit is empty. Whether the text is a unit is not looked at.
func UnitOf(header string) (name, unit string) {
	text := strings.TrimSpace(header)
	for _, brackets := range []string{"()", "[]"} {
		if at := strings.LastIndexByte(text, brackets[0]); at > 0 && text[len(text)-1] == brackets[1] {
			return strings.TrimSpace(text[:at]), strings.TrimSpace(text[at+1 : len(text)-1])
		}
	}
	for _, between := range []string{"/", " in ", ",", " "} {
		if at := strings.LastIndex(text, between); at > 0 {
			return strings.TrimSpace(text[:at]), strings.TrimSpace(text[at+len(between):])
		}
	}
	return text, ""
}

// plain is a name as names are compared.
func plain(name string) string {
	return strings.ToLower(strings.Join(strings.FieldsFunc(name, func(r rune) bool { return unicode.IsSpace(r) || r == '_' }), " "))
}

// Blank tells a row without any text, such as spreadsheets leave.
func (t *Table) Blank(at int) bool {
	return !slices.ContainsFunc(t.rows[at].cells, func(cell string) bool { return strings.TrimSpace(cell) != "" })
}

// Cell returns a cell without the spaces round it; of a column that the file
// does not have, nothing.
func (t *Table) Cell(row int, column Found) string {
	if !column.There() {
		return ""
	}
	return strings.TrimSpace(t.rows[row].cells[column.At])
}

// DecimalComma tells whether the numbers of these columns are written with
// decimal commas. Only a file with semicolons can be written so throughout;
// there one comma in a number tells, or that there is no point in any.
func (t *Table) DecimalComma(numbers ...Found) bool {
	if t.separator != ';' {
		return false
	}
	comma, point := false, false
	for row := range t.rows {
		for _, column := range numbers {
			cell := t.Cell(row, column)
			comma = comma || strings.Contains(cell, ",")
			point = point || strings.Contains(cell, ".")
		}
	}
	return comma || !point
}
