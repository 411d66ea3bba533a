// Package entry reads what a person types or a pipe brings, a line at a time, and
// takes parts into the drawer so, one after the other, as somebody measures them
// or a logging ohmmeter sends them: each is kept before the next is asked for.
package entry

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

// Store keeps parts. What it has taken is on disk when it returns.
type Store interface {
	// Add keeps a part and returns it with its id. An error that is no Failure
	// is the refusal of this part alone.
	Add(p inventory.Part) (inventory.Part, error)
	// Remove takes a part out again.
	Remove(id string) error
	// Has tells whether a part with that id is kept.
	Has(id string) bool
}

// Failure is the error of a Store that can keep nothing more.
type Failure struct{ error }

func (f Failure) Unwrap() error { return f.error }

// Fail makes a Failure.
func Fail(err error) error { return Failure{err} }

// Session is one sitting.
type Session struct {
	In          *Reader
	Store       Store
	Drawer      []inventory.Part // what is there before: its kinds and places are known
	Instruments inventory.Instruments
	Like        inventory.Part // what holds for all parts that follow; the id for the first alone
	Ack, Err    io.Writer      // where parts are acknowledged, and where what is wrong with a line from a pipe is said
	Who         string         // who says it
	Width       int            // of the terminal, in columns; 0: questions are not broken

	Added   []inventory.Part // in their order, without those taken back
	Refused int              // lines from a pipe that are no part
	Slips   []string         // what is strange about parts that a pipe brought

	known    vocabulary
	readings []quantity.Value
}

// howTo is said to a person first.
const howTo = `Type what the ohmmeter shows, and Enter: the answer is the id for the envelope.
u takes the last part back, ? says what else a line can say, an empty line ends.
`

// more is what ? says.
const more = `  11.3 carbon 0.5W tin C   what else is known of this part
  nominal 4k7 5%           holds from here on; so do watts 0.5, volts 350,
                           kind carbon, place tray 3, instrument hand meter;
                           the word alone takes it back
  unmeasured 4k7 5%        a part that is only marked; so is unmeasured bands
                           yellow violet red gold
  u                        takes the last part back, again the one before
  an empty line            ends; every part is in the drawer already
`

// Run reads lines until there are no more. What is wrong with a line is said, to
// a person as it is, of a pipe with the line's number, and the next is read. A
// Failure of the Store ends what comes from a pipe.
func (s *Session) Run() error {
	s.known = newVocabulary(s.Drawer)
	s.In.Say(howTo)
	for {
		line, err := s.In.Next("reading: ")
		if errors.Is(err, io.EOF) || err == nil && s.In.Asks() && line == "" {
			return nil
		}
		for again := line; err == nil && again != ""; {
			again, err = s.take(again)
		}
		if err != nil {
			if err = s.wrong(err); err != nil {
				return err
			}
		}
	}
}

// wrong says what is wrong with the last line; what it returns ends the sitting.
func (s *Session) wrong(err error) error {
	if errors.Is(err, errReading) {
		return err
	}
	if s.In.Asks() {
		s.In.Say("  " + report.Wrap(err.Error(), s.Width-2) + "\n")
		return nil
	}
	err = AtLine(s.In.Line(), err)
	if failed := (Failure{}); errors.As(err, &failed) {
		return err
	}
	s.Refused++
	_, failed := fmt.Fprintf(s.Err, "%s: %s\n", s.Who, report.Harmless(strings.ReplaceAll(err.Error(), "\n", " ")))
	return failed
}

// take does what a line says. What a person answers to a question, if it is
// another line, comes back.
func (s *Session) take(line string) (again string, err error) {
	words := strings.Fields(line)
	_, setting := keywords[strings.ToLower(words[0])]
	switch {
	case line == "u":
		return "", s.takeBack()
	case line == "?":
		s.In.Say(more)
		return "", nil
	case setting:
		return "", s.set(words)
	}
	if strings.EqualFold(words[0], unmeasured) {
		return "", s.mark(words[1:])
	}
	p, said, err := s.known.part(s.Like, words, s.Store.Has)
	if err != nil {
		return "", err
	}
	strange := slip(p, s.readings)
	if strange != "" && s.In.Asks() {
		again, err := s.In.Next("  " + report.Wrap(strange+"? y, or the same once more, takes it; Enter drops it:", s.Width-answerRoom) + " ")
		switch {
		case err != nil || again == "" || again == "n":
			return "", err
		case again == "y" || again == line:
			return "", s.keep(p, said, strange)
		case s.anotherTray(p, strange, again):
			return again, s.keep(p, said, strange)
		}
		s.In.Say("  dropped: " + p.Ohms.Text + "\n")
		return again, nil
	}
	return "", s.keep(p, said, strange)
}

// answerRoom is how many columns a line with a question leaves for the answer.
const answerRoom = 12

// unmeasured begins a line about a part that is only marked.
const unmeasured = "unmeasured"

// mark takes a part as it is marked: a resistance, or bands, and what else the
// words say.
func (s *Session) mark(words []string) error {
	p := s.Like
	p.Instrument = ""
	if v, rest, err := reading(words); err == nil {
		p.Nominal, words = v, rest
	}
	said, err := s.known.describe(&p, words)
	if err != nil {
		return err
	}
	if !(p.Nominal.Base > 0) || !(p.TolerancePercent > 0) {
		return errors.New("value and tolerance that are marked on it belong here, such as unmeasured 4k7 5%, or unmeasured bands yellow violet red gold")
	}
	return s.keep(p, said, "")
}

// label is what a part is known by: its reading, or what is marked on it.
func label(p inventory.Part) string {
	if p.Measured() {
		return p.Ohms.Text
	}
	return p.Nominal.Text + " marked"
}

// anotherTray tells that a line in the place of an answer is a part with the same
// strange prefix: two running are no slip, a tray of other values has begun.
func (s *Session) anotherTray(p inventory.Part, strange, line string) bool {
	next, _, err := s.known.part(s.Like, strings.Fields(line), s.Store.Has)
	is := Prefix(p.Ohms)
	return err == nil && !strings.HasPrefix(strange, "marked ") && Prefix(next.Ohms) == is && is != Prefix(s.readings[len(s.readings)-1])
}

// keep puts a part into the store and acknowledges it.
func (s *Session) keep(p inventory.Part, said []string, strange string) error {
	p, err := s.Store.Add(p)
	if err != nil {
		return err
	}
	if s.Added = append(s.Added, p); p.Measured() {
		s.readings = append(s.readings, p.Ohms)
	}
	s.Like.ID = ""
	s.known.learn(p)
	line := p.ID + " " + label(p)
	if s.In.Asks() {
		line += ": " + s.answer(p, said)
	}
	if _, err := fmt.Fprintln(s.Ack, report.Harmless(line)); err != nil {
		return Fail(fmt.Errorf("%s is in the drawer, and could not be acknowledged: %w", p.ID, err))
	}
	if strange == "" || s.In.Asks() {
		return nil
	}
	s.Slips = append(s.Slips, fmt.Sprintf("part %s: %s", p.ID, strange))
	if _, err := fmt.Fprintf(s.Err, "warning: part %s: %s\n", p.ID, strange); err != nil {
		return Fail(err)
	}
	return nil
}

// takeBack takes the last part out again.
func (s *Session) takeBack() error {
	last := len(s.Added) - 1
	if last < 0 {
		return errors.New("there is no part of this sitting left to take back")
	}
	p := s.Added[last]
	if err := s.Store.Remove(p.ID); err != nil {
		return err
	}
	if s.Added = s.Added[:last]; p.Measured() {
		s.readings = s.readings[:len(s.readings)-1]
	}
	s.In.Say(fmt.Sprintf("  taken back: %s %s\n", p.ID, label(p)))
	return nil
}

// set changes what holds from here on.
func (s *Session) set(words []string) error {
	like := s.Like
	if _, err := s.known.describe(&like, words); err != nil {
		return err
	}
	if like.ID != s.Like.ID {
		return errors.New("an id is for one part; write it behind the reading, such as 98.6 id R007")
	}
	if err := s.Instruments.Defined(like.Instrument); err != nil {
		return err
	}
	s.Like = like
	s.known.learn(like)
	holds := "nothing is said of the parts"
	if texts := told(like, func(column string) bool { return column != "id" }); len(texts) > 0 {
		holds = strings.Join(texts, ", ")
	}
	s.In.Say("  from here on: " + holds + "\n")
	return nil
}
