package inventory

import (
	"math"
	"slices"
	"strings"

	"shuntwright/inventory/safefile"
	"shuntwright/inventory/table"
)

// SetPart is a resistor of a set, with what is marked on it and, where it was
// measured, its reading.
type SetPart struct {
	Ref  string // what the set's diagram calls it
	Part Part   // without an id; Nominal and TolerancePercent are given
	Open bool   // the instrument showed no end: the part is broken, and has no reading
}

// setColumns are those of columns that the list of a set has besides ref; the
// reading is called measured there.
var setColumns = []string{"nominal", "tolerance_percent", "ohms", "watts", "volts", "instrument"}

// broken is what instruments show of a part that is open, and people write of it.
var broken = []string{"open", "ol", "o.l.", "o.l", "inf", "∞", "offen"}

// ReadSet reads the resistors of a set from a CSV file with the columns ref,
// nominal, tolerance_percent and measured, and if you like watts, volts and
// instrument, under the names that people give them, in the order of the file.
// What a row does not say of tolerance, watts, volts and instrument is as like
// says. A part that was not measured has no reading. An error of what is in the
// file is a *table.Error; a nominal value and a tolerance must be there.
func ReadSet(path string, like Part) ([]SetPart, error) {
	data, _, err := safefile.Read(path)
	if err != nil {
		return nil, err
	}
	t, err := table.Parse(path, data)
	if err != nil {
		return nil, err
	}
	s := setFile{table: t, like: like}
	if err := s.find(); err != nil {
		return nil, err
	}
	return s.parts()
}

// setFile is the list of a set while it is read.
type setFile struct {
	table   *table.Table
	like    Part
	columns []column
	ref     table.Found
	at      []table.Found // of columns
	decimal decimals
}

// find finds the columns.
func (s *setFile) find() error {
	all := []table.Column{{Name: "ref", Also: []string{"reference", "designator", "id", "part", "position", "bezeichnung", "teil"}, Needed: true}}
	for _, name := range setColumns {
		c := columns[columnOf(name)]
		of := c.heading(true)
		of.Needed = name == "nominal" || name == "ohms" || name == "tolerance_percent" && math.IsNaN(s.like.TolerancePercent)
		if name == "ohms" {
			of.Name, of.Also = "measured", append([]string{"ohms"}, slices.DeleteFunc(slices.Clone(of.Also), func(other string) bool { return other == "measured" })...)
		}
		all, s.columns = append(all, of), append(s.columns, c)
	}
	found, err := s.table.Find(all...)
	if err != nil {
		return err
	}
	s.ref, s.at = found[0], found[1:]
	s.decimal = decimals{comma: s.table.DecimalComma(s.at[:len(s.at)-1]...), strict: s.table.Separator() == ';'}
	return nil
}

// parts reads the rows.
func (s *setFile) parts() ([]SetPart, error) {
	var out []SetPart
	lines := map[string]int{}
	for row := range s.table.Len() {
		if s.table.Blank(row) {
			continue // spreadsheets leave such rows
		}
		p, err := s.part(row)
		if err != nil {
			return nil, err
		}
		if line, twice := lines[p.Ref]; twice {
			return nil, s.table.ErrorAt(row, s.ref.At, "ref %q stands in line %d already; every part needs its own", p.Ref, line)
		}
		lines[p.Ref] = s.table.Line(row)
		out = append(out, p)
	}
	if len(out) == 0 {
		return nil, s.table.ErrorAt(-1, 0, "no part stands below the names of the columns; write one a line, such as R12,4k7,10,5.6k")
	}
	return out, nil
}

// part reads one row.
func (s *setFile) part(row int) (SetPart, error) {
	out := SetPart{Ref: s.table.Cell(row, s.ref), Part: s.like}
	if out.Ref == "" {
		return out, s.table.ErrorAt(row, s.ref.At, "ref is empty; write what the diagram calls the part, such as R12")
	}
	for i, c := range s.columns {
		cell := s.table.Cell(row, s.at[i])
		if c.name == "ohms" && slices.Contains(broken, strings.ToLower(cell)) {
			out.Open = true
			continue
		}
		if cell == "" {
			continue
		}
		if err := c.read(&out.Part, s.decimal.inUnit(cell, s.at[i].Unit), s.decimal); err != nil {
			return out, s.table.ErrorAt(row, s.at[i].At, "%s of %q: %v", s.name(c), out.Ref, err)
		}
	}
	switch {
	case !given(out.Part.Nominal):
		return out, s.table.ErrorAt(row, s.at[0].At, "nominal of %q is empty; write what is marked on the part, such as 4k7", out.Ref)
	case math.IsNaN(out.Part.TolerancePercent):
		return out, s.table.ErrorAt(row, max(0, s.at[1].At), "tolerance_percent of %q is empty; write what is marked on the part (no ring stands for 20, IEC 60062)", out.Ref)
	}
	return out, nil
}

// name is what the list calls a column.
func (s *setFile) name(c column) string {
	if c.name == "ohms" {
		return "measured"
	}
	return c.name
}
