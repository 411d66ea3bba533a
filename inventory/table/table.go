// Package table holds a file of comma-separated values so that it can be
// changed cell by cell: what is not touched is written back byte for byte,
// quotation marks, spaces, line ends, blank lines and byte-order mark
// included.
package table

import (
	"encoding/csv"
	"slices"
	"strings"
)

// Table is a header line and rows with as many cells as the header.
type Table struct {
	name      string
	mark      string // byte-order mark, or nothing
	separator rune
	lineEnd   string
	header    row
	rows      []row
	tail      string // blank lines after the last row
}

// row is one record; raw is its text with the blank lines before it and the
// line end behind it.
type row struct {
	raw   string
	cells []string
	line  int // 1-based, where the record starts
}

// New returns a table of no rows, with the columns given, that is written
// with commas and line feeds.
func New(name string, header ...string) *Table {
	t := &Table{name: name, separator: ',', lineEnd: "\n"}
	t.header = row{raw: t.encode(header) + t.lineEnd, cells: slices.Clone(header), line: 1}
	return t
}

// Separator returns what stands between the cells: a comma, a semicolon or a
// tab.
func (t *Table) Separator() rune { return t.separator }

// Header returns the names of the columns as they stand in the file.
func (t *Table) Header() []string { return slices.Clone(t.header.cells) }

// Len returns the number of rows, the header not counted.
func (t *Table) Len() int { return len(t.rows) }

// Row returns the decoded cells of a row, 0 being the first after the header.
// The slice is the table's own: read it only.
func (t *Table) Row(at int) []string { return t.rows[at].cells }

// Line returns the line of the file, 1 being the first, that a row began at
// when the file was read; 0 for a row that has been added since.
func (t *Table) Line(at int) int { return t.rows[at].line }

// Set replaces one cell. The cell keeps its quotation marks if it had any;
// the rest of the row stays as it is. A text that the cell holds already
// changes nothing.
func (t *Table) Set(at, column int, text string) {
	r := &t.rows[at]
	if r.cells[column] == text {
		return
	}
	span := t.spans(r.raw)[column]
	cell := t.encode([]string{text})
	if strings.HasPrefix(r.raw[span.from:span.to], `"`) && !strings.HasPrefix(cell, `"`) {
		cell = `"` + cell + `"`
	}
	r.raw = r.raw[:span.from] + cell + r.raw[span.to:]
	r.cells[column] = text
}

// Append adds a row with as many cells as the header; cells that are missing
// are empty.
func (t *Table) Append(cells ...string) {
	cells = slices.Clone(cells)
	for len(cells) < len(t.header.cells) {
		cells = append(cells, "")
	}
	last := &t.header
	if len(t.rows) > 0 {
		last = &t.rows[len(t.rows)-1]
	}
	if body, end := cutLineEnd(last.raw); end != t.lineEnd && !strings.HasSuffix(end, "\n") {
		last.raw = body + t.lineEnd
	}
	t.rows = append(t.rows, row{raw: t.encode(cells) + t.lineEnd, cells: cells})
}

// Remove removes a row; those behind it move up.
func (t *Table) Remove(at int) { t.rows = slices.Delete(t.rows, at, at+1) }

// AddColumn adds a column of empty cells behind the last one and returns its
// index.
func (t *Table) AddColumn(name string) int {
	t.header.extend(t.separator, t.encode([]string{name}), name)
	for i := range t.rows {
		t.rows[i].extend(t.separator, "", "")
	}
	return len(t.header.cells) - 1
}

func (r *row) extend(separator rune, encoded, text string) {
	body, end := cutLineEnd(r.raw)
	r.raw = body + string(separator) + encoded + end
	r.cells = append(r.cells, text)
}

// Bytes returns the file.
func (t *Table) Bytes() []byte {
	size := len(t.mark) + len(t.header.raw) + len(t.tail)
	for _, r := range t.rows {
		size += len(r.raw)
	}
	data := make([]byte, 0, size)
	data = append(data, t.mark...)
	data = append(data, t.header.raw...)
	for _, r := range t.rows {
		data = append(data, r.raw...)
	}
	return append(data, t.tail...)
}

// encode writes cells as a record, or a part of one, without its line end. An
// empty cell that is all of a record is written as "", or it would be a blank
// line.
func (t *Table) encode(cells []string) string {
	if len(t.header.cells) == 1 && slices.Equal(cells, []string{""}) {
		return `""`
	}
	var text strings.Builder
	w := csv.NewWriter(&text)
	w.Comma = t.separator
	// The cell more, cut off again, keeps the writer from doing so itself.
	_ = w.Write(append(slices.Clone(cells), "")) // a Builder takes everything
	w.Flush()
	return strings.TrimSuffix(text.String(), string(t.separator)+"\n")
}

// cutLineEnd parts a record from its line end; the last line of a file may
// have none.
func cutLineEnd(raw string) (body, end string) {
	body = strings.TrimSuffix(raw, "\n")
	body = strings.TrimSuffix(body, "\r")
	return body, raw[len(body):]
}
