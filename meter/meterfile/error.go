package meterfile

import "fmt"

// Error is one thing wrong with a meter file, and where.
type Error struct {
	File         string
	Line, Column int // from 1; the column in runes
	What, Hint   string
}

// Error returns one line: file:line:column: what; hint.
func (e *Error) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s; %s", e.File, e.Line, e.Column, e.What, e.Hint)
}
