package readings

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"shuntwright/cmd/shuntwright/internal/lines"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
)

// cardinal is a point of a scale at which a meter is checked.
type cardinal struct {
	at    int // index into the ranges
	share float64
	name  string
}

// cardinals are the points that are asked for, range by range.
func (rr *Reader) cardinals() []cardinal {
	var out []cardinal
	for r := range rr.ranges {
		for k, name := range []string{"zero", "1/4 of the scale", "1/2 of the scale", "3/4 of the scale", "full scale"} {
			out = append(out, cardinal{r, float64(k) / 4, name})
		}
	}
	return out
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

// ReadTyped reads one reading a line. A person is asked for the cardinal points
// one by one, and asked again after a slip; from a pipe a line that cannot be
// read ends it. Without any reading the error is a NoneGiven.
func (rr *Reader) ReadTyped(in *lines.Reader) (*Set, error) {
	s := &typedSession{Reader: rr, in: in}
	if in.Asks() {
		s.points = rr.cardinals()
	}
	in.Say(howToType)
	for {
		text, err := in.Next(s.prompt())
		if errors.Is(err, io.EOF) {
			return s.finish()
		}
		if err != nil {
			return nil, lines.At(in.Line(), err)
		}
		done, wrong := s.take(text)
		if wrong != nil {
			return nil, lines.At(in.Line(), wrong)
		}
		if done {
			return s.finish()
		}
	}
}

// NoneGiven is the error of somebody who typed no reading.
type NoneGiven struct{ example string }

func (e NoneGiven) Error() string {
	return fmt.Sprintf("no reading was given; name a file of readings, or type them one a line, such as %q", e.example)
}

// howToType is said before the first point is asked for.
const howToType = `Set the reference as asked; type what it really shows, and what the pointer
shows: 2.49 25.1 div. One number alone is the pointer's, the reference being as
asked. A number without a unit is in the unit that the prompt names.
An empty line skips a point, a full stop ends.
`

// widest is how many columns a prompt may take.
const widest = 79

// typedSession is somebody typing readings.
type typedSession struct {
	*Reader
	in     *lines.Reader
	points []cardinal // those still to be asked for
	first  int        // line of the first reading
}

// prompt asks for the next point.
func (s *typedSession) prompt() string {
	if len(s.points) == 0 {
		return "all points are read; more as RANGE REFERENCE INDICATED, a full stop ends: "
	}
	p := s.points[0]
	name, point := s.ranges[p.at].Name+",", fmt.Sprintf("%s, reference at %s: ", p.name, s.setting(p))
	if utf8.RuneCountInString(name)+1+utf8.RuneCountInString(point) > widest {
		name += "\n "
	}
	return name + " " + point
}

// echo says what was taken, so that a slip is seen at once.
func (s *typedSession) echo() {
	last := len(s.set.Readings) - 1
	one, as := s.set.Readings[last], s.set.Typed[last]
	s.in.Say(fmt.Sprintf("  taken: %s: %s applied, %s shown\n", s.ranges[one.Range].Name, as.Reference.Text, as.Indicated.Text))
	for _, beyond := range s.set.beyond(last, s.ranges) {
		s.in.Say("  warning: " + beyond + "\n")
	}
}

// take takes one line. It tells whether it was the last one; an error is one
// that ends the command.
func (s *typedSession) take(line string) (done bool, err error) {
	switch {
	case line == "." || line == "" && len(s.points) == 0:
		return true, nil
	case line == "":
		s.points = s.points[1:]
		return len(s.points) == 0, nil
	}
	cells, asked := s.split(line)
	if cells[rangeColumn] == "" {
		err = fmt.Errorf("%.60q does not name a range; write RANGE REFERENCE INDICATED, such as %q", line, strings.ReplaceAll(s.exampleLine(), ",", " "))
	} else {
		_, err = s.add(cells)
	}
	switch {
	case err != nil && s.in.Asks():
		s.in.Say(fmt.Sprintf("  %v\n", err))
	case err != nil:
		return false, err
	default:
		if s.first == 0 {
			s.first = s.in.Line()
		}
		if asked {
			s.points = s.points[1:]
		}
		s.echo()
	}
	return false, nil
}

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
	cells[indicatedColumn], words = lastQuantity(words)
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
	return cells, found && at == p.at
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

// finish ends the typing.
func (s *typedSession) finish() (*Set, error) {
	if len(s.set.Readings) == 0 {
		return nil, NoneGiven{strings.ReplaceAll(s.exampleLine(), ",", " ")}
	}
	if _, err := s.allZero(); err != nil {
		return nil, lines.At(s.first, err)
	}
	s.set.settle()
	return s.set, nil
}
