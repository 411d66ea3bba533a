package readings

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
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
		cells[directionColumn] = p.direction.String()
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

// cardinal is a point of a scale at which a meter is checked.
type cardinal struct {
	at        int // index into the ranges
	share     float64
	name      string
	direction reading.Direction
}

// quarters are the points of a scale, from rest on.
var quarters = []string{"zero", "1/4 of the scale", "1/2 of the scale", "3/4 of the scale", "full scale"}

// cardinals are the points that are asked for, range by range; in a sweep the
// pointer goes up through all of them and comes down again.
func (rr *Reader) cardinals(sweep bool) []cardinal {
	var out []cardinal
	last := len(quarters) - 1
	for r := range rr.ranges {
		for k, name := range quarters {
			p := cardinal{r, float64(k) / float64(last), name, reading.Either}
			if sweep && k > 0 {
				p.name, p.direction = name+", going up", reading.Up
			}
			out = append(out, p)
		}
		for k := last - 1; sweep && k >= 0; k-- {
			out = append(out, cardinal{r, float64(k) / float64(last), quarters[k] + ", coming down", reading.Down})
		}
	}
	return out
}

// near is how far a reading may lie from the point that it answers, as a part of
// full scale.
const near = 0.1

// behind are the points that are left to be asked for once one was read: those
// behind the point that it answers, or all.
func (rr *Reader) behind(points []cardinal, one reading.Reading) []cardinal {
	at := slices.IndexFunc(points, func(p cardinal) bool {
		return p.at == one.Range && p.direction == one.Direction && math.Abs(one.Reference/rr.ranges[p.at].FullScale-p.share) <= near
	})
	return points[at+1:]
}

// setting is what the reference is set to for a point, in the unit of the
// range's name: a number alone is taken in that one too.
func (rr *Reader) setting(p cardinal) string {
	r := rr.ranges[p.at]
	suffix := scaleOf(r, math.NaN(), quantity.Parse).suffix
	one, err := quantity.Parse("1 "+suffix, r.Unit, quantity.Positive)
	if err != nil { // a name that says its unit in another way
		return report.Short(p.share*r.FullScale, r.Unit)
	}
	return strconv.FormatFloat(p.share*r.FullScale/one.Base, 'g', 10, 64) + " " + suffix
}
