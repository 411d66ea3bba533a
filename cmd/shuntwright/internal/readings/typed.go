package readings

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"shuntwright/cmd/shuntwright/internal/entry"
)

// Asking is how a person is asked for readings.
type Asking struct {
	Sweep bool           // up to full scale and down again on every range
	Keep  string         // the file that keeps what was typed, see KeptPath; empty: nothing is kept
	Warn  map[int]string // by range, what is said before its first point; nil: nothing
	Since string         // what was changed in the meter since that was written, in words; empty: nothing
}

// ReadTyped reads one reading a line. A person is asked for the cardinal points
// one by one, and asked again after a slip; from a pipe a line that cannot be
// read ends it. Without any reading the error is a NoneGiven.
func (rr *Reader) ReadTyped(in *entry.Reader, ask Asking) (*Set, error) {
	s := &typedSession{Reader: rr, in: in, meant: map[int]bool{}, kept: kept{path: ask.Keep, since: ask.Since}}
	if in.Asks() {
		s.points = rr.cardinals(ask.Sweep)
		if err := s.resume(); err != nil {
			return nil, err
		}
	}
	in.Say(howToType)
	for {
		if len(s.points) > 0 && ask.Warn[s.points[0].at] != "" {
			in.Say(ask.Warn[s.points[0].at])
			delete(ask.Warn, s.points[0].at)
		}
		text, err := in.Next(s.prompt())
		if errors.Is(err, io.EOF) {
			return s.finish()
		}
		if err != nil {
			return nil, entry.AtLine(in.Line(), err)
		}
		done, wrong := s.take(text)
		if wrong != nil {
			return nil, entry.AtLine(in.Line(), wrong)
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

// howToType is said before the first point is asked for, and keys where somebody
// asks for them.
const (
	howToType = `Set the reference as asked, and type what the pointer shows, or what the
reference really shows and the pointer: 2.49 25.1 div. A number without a unit
is in the unit that the prompt names, or as --in says. A full stop ends, ? says
what else can be typed.
`
	keys = `  25.1 div                what the pointer shows, the reference being as asked
  2.49 25.1 div           what the reference shows, and the pointer
  10 V 2.49 25.1 div up   another point; up or down is from where it came
  >                       for the pointer: it stands at its stop
  b                       goes back one reading
  an empty line           skips this point
  .                       ends: the answer is what was read until then
`
)

// widest is how many columns a prompt may take.
const widest = 79

// typedSession is somebody typing readings.
type typedSession struct {
	*Reader
	in     *entry.Reader
	points []cardinal // those still to be asked for
	first  int        // line of the first reading
	taken  []typedPoint
	meant  map[int]bool // ranges on which what looked like a slip was none
	kept   kept
}

// typedPoint is one reading that was taken, and the points that were still to be asked
// for before it.
type typedPoint struct {
	cells  [6]string
	points []cardinal
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
func (s *typedSession) echo(cells [6]string) {
	if cells[indicatedColumn] == pegged {
		one := s.set.Pegged[len(s.set.Pegged)-1]
		s.in.Say(fmt.Sprintf("  taken: %s: %s applied, the pointer at its stop; lower the reference until it\n  stands on the scale, and type both\n",
			s.ranges[one.Range].Name, one.Reference.Text))
		return
	}
	last := len(s.set.Readings) - 1
	one, as := s.set.Readings[last], s.set.Typed[last]
	way := ""
	if word := one.Direction.String(); word != "" {
		way = ", " + word
	}
	s.in.Say(fmt.Sprintf("  taken: %s: %s applied, %s shown%s\n", s.ranges[one.Range].Name, as.Reference.Text, as.Indicated.Text, way))
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
	case line == "b" && s.in.Asks():
		return false, s.back()
	case line == "?" && s.in.Asks():
		s.in.Say(keys)
		return false, nil
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
	case s.odd(line, cells, asked) != "":
		return s.doubt(line, cells, asked)
	default:
		s.accept(cells, asked)
	}
	return false, nil
}

// From where on a reading looks like a slip, as shares of full scale: a pointer at
// rest that wants more than its screw turned, one further from what is applied than
// drift brings it, a reference that is nearer to another point than to the one asked
// for (common practice).
const (
	restAtMost = 0.05
	offAtMost  = 0.2
	missAtMost = 0.2
)

// odd is what looks like a slip in the reading just added by a line, where a person
// can be asked; empty: nothing does. Whoever names the range chooses the point, and
// what was meant once on a range is not asked again.
func (s *typedSession) odd(line string, cells [6]string, asked bool) string {
	if cells[indicatedColumn] == pegged || !s.in.Asks() {
		return ""
	}
	last := len(s.set.Readings) - 1
	one, as := s.set.Readings[last], s.set.Typed[last]
	full := s.ranges[one.Range].FullScale
	stopped := len(s.taken) > 0 && s.taken[len(s.taken)-1].cells[indicatedColumn] == pegged // and the reference was lowered
	off := math.Abs(one.Indicated-one.Reference) > offAtMost*full
	switch {
	case one.Reference == 0 && math.Abs(one.Indicated) > restAtMost*full:
		return as.Indicated.Text + " with nothing applied?"
	case asked && !stopped && !strings.Contains(line, cells[rangeColumn]) && math.Abs(one.Reference/full-s.points[0].share) > missAtMost:
		return fmt.Sprintf("%s applied, where %s was asked for?", as.Reference.Text, s.setting(s.points[0]))
	case off && !s.meant[one.Range]:
		return fmt.Sprintf("%s shown with %s applied?", as.Indicated.Text, as.Reference.Text)
	}
	return ""
}

// doubt asks whether the reading just added is meant, and drops it where it is
// not; another line in the place of an answer is the next one.
func (s *typedSession) doubt(line string, cells [6]string, asked bool) (done bool, err error) {
	last := len(s.set.Readings) - 1
	answer, err := s.in.Next("  " + s.odd(line, cells, asked) + " y takes it; Enter drops it: ")
	if err == nil && strings.EqualFold(answer, "y") {
		s.meant[s.set.Readings[last].Range] = true
		s.accept(cells, asked)
		return false, nil
	}
	s.set.Readings, s.set.Typed = s.set.Readings[:last], s.set.Typed[:last]
	switch {
	case errors.Is(err, io.EOF):
		return true, nil
	case err != nil || answer == "":
		return false, err
	}
	return s.take(answer)
}

// accept notes a reading that was taken, and says it.
func (s *typedSession) accept(cells [6]string, asked bool) {
	if s.first == 0 {
		s.first = s.in.Line()
	}
	if cells[indicatedColumn] == pegged { // the texts with their units, so that they mean the same whatever the flags
		one := s.set.Pegged[len(s.set.Pegged)-1]
		cells[referenceColumn], s.meant[one.Range] = one.Reference.Text, true // what is that high reads high elsewhere too
	} else {
		as := s.set.Typed[len(s.set.Typed)-1]
		cells[referenceColumn], cells[indicatedColumn] = as.Reference.Text, as.Indicated.Text
	}
	s.taken = append(s.taken, typedPoint{cells, s.points})
	if asked && cells[indicatedColumn] != pegged {
		s.points = s.points[1:]
	}
	s.echo(cells)
	s.keep(func() error { return s.kept.add(cells) })
}

// back takes the last reading back and asks for its point again.
func (s *typedSession) back() error {
	if len(s.taken) == 0 {
		s.in.Say("  there is no reading to go back to\n")
		return nil
	}
	last := s.taken[len(s.taken)-1]
	s.taken, s.points = slices.Delete(s.taken, len(s.taken)-1, len(s.taken)), last.points
	s.set = &Set{}
	for _, e := range s.taken {
		if _, err := s.add(e.cells); err != nil {
			return err
		}
	}
	s.in.Say(fmt.Sprintf("  taken back: %s: %s\n", last.cells[rangeColumn], strings.TrimSpace(strings.Join(last.cells[referenceColumn:directionColumn+1], " "))))
	s.keep(func() error { return s.kept.rewrite(s.taken) })
	return nil
}

// keep has the file of what was typed changed; where that fails, it says so and
// goes on without.
func (s *typedSession) keep(change func() error) {
	if s.kept.path == "" {
		return
	}
	if err := change(); err != nil {
		s.in.Say(fmt.Sprintf("  warning: the readings are not kept: %v\n", err))
		s.kept.path = ""
	}
}

// finish ends the typing.
func (s *typedSession) finish() (*Set, error) {
	if len(s.set.Readings) == 0 && len(s.set.Pegged) == 0 {
		return nil, NoneGiven{strings.ReplaceAll(s.exampleLine(), ",", " ")}
	}
	if err := s.onlyPegged(); err != nil {
		return nil, entry.AtLine(s.first, err)
	}
	if err := s.nothingApplied(); err != nil {
		return nil, entry.AtLine(s.first, err)
	}
	s.set.settle()
	return s.set, nil
}
