package table

import (
	"regexp"
	"strings"
)

// number is what a spreadsheet takes for a number, signs and all.
var number = regexp.MustCompile(`^[+-]?[0-9]+([.,][0-9]+)?([eE][+-]?[0-9]+)?$`)

// Guard is a text as a cell that no spreadsheet runs as a formula: one that
// begins as formulas do, and is no number, gets an apostrophe before it. So does
// one that would be read as guarded.
func Guard(text string) string {
	if inner := strings.TrimLeft(text, "'"); inner != "" && strings.Contains("=+-@", inner[:1]) && !number.MatchString(text) {
		return "'" + text
	}
	return text
}

// Unguard is the text that Guard made a cell of; any other cell stays.
func Unguard(cell string) string {
	if text, found := strings.CutPrefix(cell, "'"); found && Guard(text) == cell {
		return text
	}
	return cell
}
