// Package report is what people see: one document structure, rendered as a
// table for the terminal, as Markdown, as CSV and as JSON. It knows nothing of
// how the numbers were computed.
package report

import (
	"slices"
	"strconv"
)

// Document is the answer of one command, ready for every rendering: the bottom
// line, the table that the bench needs, what qualifies it, and what comes next.
// The rest stands below it with --full only.
type Document struct {
	// Heading is the first line of the bottom line: what the answer is.
	Heading string
	// BottomLine holds the sentences that follow the heading at once.
	BottomLine []string
	// Tables stand in reading order; the first one that is not for the bench
	// alone is the command's main table. Those that are Detail are shown with
	// --full only.
	Tables []Table
	// Closing holds the sentences below the tables.
	Closing []string
	// Details are the sentences that people see with --full only.
	Details []string
	// Notes are the texts that qualify the answer.
	Notes Notes
	// Raised are those of its warnings that people are shown before the bottom
	// line, because who does not read them does harm.
	Raised []string
	// Next is the one command that most likely follows, ready to be typed.
	Next string
	// Answer is what JSON shows: one of the structures of this package.
	Answer any
	// Good is false where the answer is there and is not what was hoped for:
	// nothing found, a position open, a range outside the class.
	Good bool
	// Aside sends what a terminal shows to standard error: the results went to
	// standard output one by one.
	Aside bool
}

// Notes qualify an answer; they travel with it in every format.
type Notes struct {
	// Cautions say where the work can hurt someone.
	Cautions []Caution `json:"cautions,omitempty"`
	// Assumptions say what was taken for granted because nobody said it.
	Assumptions []string `json:"assumptions,omitempty"`
	// Warnings say which numbers are worse than they look, and why.
	Warnings []string `json:"warnings,omitempty"`
}

// Caution is where the work can hurt someone.
type Caution struct {
	Line string // what every answer says, in one line
	Text string // what to do and to leave, for those who read it the first time, and JSON
}

// MarshalText gives the whole text.
func (c Caution) MarshalText() ([]byte, error) { return []byte(c.Text), nil }

// UnmarshalText takes a text for its line too.
func (c *Caution) UnmarshalText(text []byte) error {
	*c = Caution{string(text), string(text)}
	return nil
}

// Table is one block of rows below a row of column names.
type Table struct {
	// Name is what --table calls it: positions, ranges, …
	Name string
	// Heading stands above the table; empty where the bottom line says it.
	Heading string
	// Detail tables are shown with --full only; --table finds them all the same.
	Detail bool
	// Bench tables are made for people: never the main table of CSV.
	Bench   bool
	Columns []Column
	Rows    [][]Cell
}

// Column is the head of a column: for people and for CSV.
type Column struct {
	// Title stands above the column on paper and on the terminal.
	Title string
	// Key stands above the column in CSV and carries the unit; a column without
	// one is a drawing, and stands in no CSV.
	Key string
	// Number columns are set flush right.
	Number bool
	// Flexible columns wrap where the table would be too wide.
	Flexible bool
	// Brief columns take so many lines a row at most, two or more: what does not
	// fit is cut out before the last one. 0: as many as they need.
	Brief int
	// Bare columns stand in CSV only.
	Bare bool
	// Common columns are said in words below, by this name, where the table would
	// be too wide and all rows agree.
	Common string
	// Spare columns are left out on paper where the table would be too wide.
	Spare bool
	// Known columns, which another answer says too, are left out on paper where
	// words would have to be broken.
	Known bool
}

// Cell is one entry: Text with honest digits for people, Exact with full
// precision for CSV. Where Exact is empty, Text serves for both.
type Cell struct {
	Text  string
	Exact string
	// Silent cells stay empty in CSV: their text is for people only.
	Silent bool
	// Mark says how a terminal with colour shows the cell.
	Mark Mark
}

// Mark tells a terminal with colour which cells want attention.
type Mark int

// The marks: nothing special, as it should be, wants a look, wrong.
const (
	Plain Mark = iota
	Fine
	Doubtful
	Wrong
)

// Words makes a cell of a text.
func Words(text string) Cell { return Cell{Text: text} }

// Pair makes a cell of what people read and what CSV holds.
func Pair(text, exact string) Cell { return Cell{Text: text, Exact: exact} }

// csv is what CSV shows of a cell.
func (c Cell) csv() string {
	switch {
	case c.Silent:
		return ""
	case c.Exact != "":
		return c.Exact
	}
	return c.Text
}

// None is the cell of a value that does not apply.
func None() Cell { return Cell{Text: "-", Silent: true} }

// shown are the indexes of the columns that people see: not those for CSV
// only, and not those in which no row says anything.
func (t Table) shown() []int {
	var kept []int
	for i, column := range t.Columns {
		speaks := slices.ContainsFunc(t.Rows, func(row []Cell) bool { return row[i].Text != "" })
		if !column.Bare && speaks {
			kept = append(kept, i)
		}
	}
	return kept
}

// VerdictCell is a verdict, painted by what it says; empty where there is none.
func VerdictCell(verdict string) Cell {
	return Cell{Text: verdict, Mark: map[string]Mark{"pass": Fine, "undecided": Doubtful, "fail": Wrong}[verdict]}
}

// Count is a whole number.
func Count(n int) Cell { return Words(strconv.Itoa(n)) }

// Unbroken is a space at which no line breaks.
const Unbroken = "\u00a0"
