// Package sheet makes a bench sheet of what it is told: one HTML file without
// script, that fetches nothing, prints in black and white on A4 and Letter, and
// is read on a phone as well. Wiring diagrams and small pictures of errors on it
// are SVG. It knows neither meters nor parts: it is told what lies where, in
// words as they are to be read.
//
// Symbols are those of IEC 60617: a resistor is a rectangle, the movement a
// circle with the letters of its unit in it, a junction a dot. All sizes are in
// CSS pixels, 96 to the inch, so that text of 10 is 7.5 point high in print.
package sheet

import (
	"embed"
	"fmt"
	"html/template"
	"io"

	"shuntwright/cmd/shuntwright/internal/report"
)

// Page is a bench sheet. Texts may hold anything: they are escaped.
type Page struct {
	Title  string
	Plan   bool     // nothing of it is done yet: it says so in the title
	Marks  []string // what must be seen first, such as what is missing
	Facts  []Fact
	Danger []string // what can hurt people
	Care   []string // what can hurt the meter

	Points      float64   // the size of the type in print, 7 at least
	Left, Right []Section // side by side where there is room for two columns
	Rest        []Section // below, in columns that are filled one after the other
	Whole       bool      // there is room for Rest with no section broken, and for larger rows
}

// Fact is one thing that is known of the meter; one without Cells is a line to
// be written on.
type Fact struct {
	Name string
	Cell
}

// Section is one block of a column.
type Section struct {
	Heading  string
	Before   []string
	Table    *Table
	Drawings []Drawing
	After    []string
}

// Table is a table; the first cell of a row is its head, and that of the rows
// below it as well where these have Above in its place.
type Table struct {
	Columns []Column
	Rows    [][]Cell
}

// Column is the head of a column: a title, or the scale of the drawings below.
type Column struct {
	Title string
	Scale *Drawing
	Kind  string // number, blank, picture or nothing
}

// Cell is what stands in a table: lines below one another, or a drawing, or
// nothing, to be written or ticked.
type Cell struct {
	Lines   []report.Cell
	Drawing *Drawing
	Tick    bool
	Rows    int // how many it is the head of; 0: one
}

// Above stands where the head of a row above reaches down.
var Above = Cell{Rows: -1}

// Words make a cell of texts, one a line; empty ones are left out.
func Words(lines ...string) Cell {
	var c Cell
	for _, line := range lines {
		if line != "" {
			c.Lines = append(c.Lines, report.Words(line))
		}
	}
	return c
}

// Figures make a cell of figures, one a line.
func Figures(lines ...report.Cell) Cell { return Cell{Lines: lines} }

// Picture makes a cell of a drawing.
func Picture(d Drawing) Cell { return Cell{Drawing: &d} }

// unbroken is how wide a text may be that stands in one line, whatever room its
// column has.
const unbroken = 50

//go:embed page.html
var files embed.FS

// Write writes the page as HTML.
func (p Page) Write(w io.Writer) error {
	drawn := 0
	parsed, err := template.New("page.html").Funcs(template.FuncMap{
		"short": func(text string) bool { return TextWidth(text) <= unbroken },
		"svg": func(d Drawing) template.HTML {
			drawn++
			return template.HTML(d.SVG(fmt.Sprintf("drawing-%d", drawn)))
		},
	}).ParseFS(files, "page.html")
	if err != nil {
		return err
	}
	return parsed.Execute(w, p)
}
