package readings

import (
	"strings"

	"shuntwright/meter/quantity"
)

// split parts a line "RANGE REFERENCE INDICATED [up|down]" from the right, or
// "RANGE: REFERENCE INDICATED". What is left out is that of the point asked
// for, if one is; asked tells that the line answers it.
func (s *typedSession) split(line string) (cells [6]string, asked bool) {
	name, rest, cut := cutLast(line, ":")
	words := strings.Fields(rest)
	if last := len(words) - 1; last >= 0 {
		if d, err := directionOf(words[last]); err == nil && d != 0 {
			cells[directionColumn], words = words[last], words[:last]
		}
	}
	all := words
	if last := len(words) - 1; last >= 0 && words[last] == pegged {
		cells[indicatedColumn], words = pegged, words[:last]
	} else {
		cells[indicatedColumn], words = lastQuantity(words)
	}
	cells[referenceColumn], words = lastQuantity(words)
	if !cut {
		name = strings.Join(words, " ")
		if name != "" {
			name = s.unknownUnit(name, all, &cells)
		}
	}
	cells[rangeColumn] = strings.TrimSpace(name)
	if len(s.points) == 0 {
		return cells, false
	}
	p := s.points[0]
	if cells[rangeColumn] == "" {
		cells[rangeColumn] = s.ranges[p.at].Name
		if cells[referenceColumn] == "" {
			cells[referenceColumn] = s.setting(p)
		}
	}
	at, found := s.meter.FindRange(cells[rangeColumn])
	asked = found && at == p.at
	if asked && cells[directionColumn] == "" {
		cells[directionColumn] = DirectionWord(p.direction)
	}
	return cells, asked
}

// unknownUnit mends what a unit that is none does to the parting of a line: where
// no range has the name that is left over, the line may begin with a range all
// the same, and the last two words are a number and that unit. It returns the
// name; what it cannot mend stays.
func (s *typedSession) unknownUnit(name string, words []string, cells *[6]string) string {
	if _, found := s.meter.FindRange(name); found {
		return name
	}
	for n := len(words) - 3; n >= max(0, len(words)-4); n-- { // a reference with its unit or without, and the last two
		prefix, rest := strings.Join(words[:n], " "), words[n:]
		if _, found := s.meter.FindRange(prefix); !found && n > 0 || n == 0 && len(s.points) == 0 {
			continue
		}
		reference, left := lastQuantity(rest[:len(rest)-2])
		if _, err := quantity.Parse(rest[len(rest)-2], quantity.Number, quantity.AnySign); err == nil && len(left) == 0 {
			cells[referenceColumn], cells[indicatedColumn] = reference, strings.Join(rest[len(rest)-2:], " ")
			return prefix
		}
	}
	return name
}

// cutLast cuts a text at the last separator; without one all of it is after.
func cutLast(text, separator string) (before, after string, found bool) {
	at := strings.LastIndex(text, separator)
	if at < 0 {
		return "", text, false
	}
	return text[:at], text[at+len(separator):], true
}

// lastQuantity takes the quantity that words end in: the last word, or the last
// two where the last is a unit. What is none is taken all the same: whoever
// reads it says what is wrong with it.
func lastQuantity(words []string) (text string, rest []string) {
	for n := 1; n <= 2 && n <= len(words); n++ {
		if text := strings.Join(words[len(words)-n:], " "); isQuantity(text) {
			return text, words[:len(words)-n]
		}
	}
	if len(words) == 0 {
		return "", nil
	}
	return words[len(words)-1], words[:len(words)-1]
}

// isQuantity tells what can be a reading, in whatever unit.
func isQuantity(text string) bool {
	for _, unit := range []quantity.Unit{quantity.Ampere, quantity.Volt, quantity.Division} {
		if _, err := quantity.Parse(text, unit, quantity.AnySign); err == nil {
			return true
		}
	}
	return false
}
