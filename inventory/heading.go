package inventory

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"shuntwright/inventory/table"
	"shuntwright/meter/quantity"
)

// guess tells which of the headings that say a unit of resistances may be what: where
// there are two, the one with a word of markings is what is marked.
func guess(header []string) string {
	ohms, nominal := columns[columnOf("ohms")], columns[columnOf("nominal")]
	var out, marked []string
	for _, heading := range header {
		name, unit := table.UnitOf(heading)
		switch {
		case !ohms.isUnit(unit, false):
		case slices.ContainsFunc(strings.Fields(strings.ToLower(name)), func(word string) bool { return slices.Contains(nominal.also, word) }):
			marked = append(marked, fmt.Sprintf("nominal=%q", heading))
		default:
			out = append(out, fmt.Sprintf("ohms=%q", heading))
		}
	}
	if len(out) != 1 || len(marked) > 1 {
		return ""
	}
	return strings.Join(append(out, marked...), ",")
}

// unitOfAnother is the unit in a heading that is one of another column's.
func unitOfAnother(heading string, c column) (unit string, is bool) {
	_, unit = table.UnitOf(heading)
	return unit, !c.isUnit(unit, false) && slices.ContainsFunc(columns, func(other column) bool {
		return other.text == nil && other.byUnit && other.isUnit(unit, true)
	})
}

// unitIn is the unit of the column that a heading says, empty for none.
func (c column) unitIn(heading string) string {
	if text := strings.TrimSpace(heading); c.isUnit(text, true) {
		return text
	}
	if _, unit := table.UnitOf(heading); c.isUnit(unit, false) {
		return unit
	}
	return ""
}

// sounds tells whether a heading may mean the column, a rating: a word of it is
// a name of the column or its unit, with a prefix or without.
func (c column) sounds(heading string) bool {
	if c.unit != quantity.Watt && c.unit != quantity.Volt {
		return false
	}
	words := strings.FieldsFunc(heading, func(r rune) bool { return !unicode.IsLetter(r) })
	return slices.ContainsFunc(words, func(word string) bool {
		lower := strings.ToLower(word)
		return c.isUnit(word, true) || slices.ContainsFunc(append([]string{c.name}, c.also...), func(name string) bool {
			return len(name) > 2 && strings.Contains(lower, name) || len(lower) > 3 && strings.HasPrefix(name, lower)
		})
	})
}
