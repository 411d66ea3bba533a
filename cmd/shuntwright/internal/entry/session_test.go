package entry

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

// shelf is a Store in memory that is full after some parts.
type shelf struct {
	room  int
	parts []inventory.Part
}

func (s *shelf) Add(p inventory.Part) (inventory.Part, error) {
	switch {
	case s.Has(p.ID):
		return p, fmt.Errorf("%s is there", p.ID)
	case len(s.parts) == s.room:
		return p, Fail(errors.New("the shelf is full"))
	case p.ID == "":
		p.ID = fmt.Sprintf("R%03d", len(s.parts)+1)
	}
	s.parts = append(s.parts, p)
	return p, nil
}

func (s *shelf) Remove(id string) error {
	if last := len(s.parts) - 1; last >= 0 && s.parts[last].ID == id {
		s.parts = s.parts[:last]
		return nil
	}
	return fmt.Errorf("no %s", id)
}

func (s *shelf) Has(id string) bool {
	for _, p := range s.parts {
		if p.ID == id {
			return true
		}
	}
	return false
}

// sitting runs lines through a session.
func sitting(room int, asks bool, ack io.Writer, text string) (*Session, string, error) {
	var told bytes.Buffer
	s := &Session{In: NewReader(context.Background(), strings.NewReader(text), &told, asks), Store: &shelf{room: room},
		Like: inventory.NewPart(quantity.Value{}), Ack: ack, Err: &told, Who: "test"}
	err := s.Run()
	return s, told.String(), err
}

// From a pipe what cannot be kept ends the sitting, and nothing of it is
// acknowledged; a line that is no part does not.
func TestPipe(t *testing.T) {
	var acknowledged bytes.Buffer
	s, told, err := sitting(2, false, &acknowledged, "# x\n1\nOL\n2\n3\n4\n")
	if err == nil || err.Error() != "standard input:5:1: the shelf is full" || acknowledged.String() != "R001 1\nR002 2\n" {
		t.Errorf("%v, acknowledged %q", err, acknowledged.String())
	}
	if !strings.HasPrefix(told, "test: standard input:3:1: \"OL\"") || strings.Count(told, "\n") != 1 || s.Refused != 1 || len(s.Added) != 2 {
		t.Errorf("told %q, %d refused", told, s.Refused)
	}
	acknowledged.Reset()
	if s, told, err := sitting(9, false, &acknowledged, "1\nu\nu\n1 id R001\n2 id R001\n"+strings.Repeat("9", 1<<17)+"\n3"); err != nil || s.Refused != 3 || len(s.Added) != 2 {
		t.Errorf("%v, %q, %d refused, %d added", err, told, s.Refused, len(s.Added))
	}
	if acknowledged.String() != "R001 1\nR001 1\nR002 3\n" {
		t.Errorf("acknowledged %q", acknowledged.String())
	}
}

// A person is told, and may go on.
func TestPerson(t *testing.T) {
	var acknowledged bytes.Buffer
	s, told, err := sitting(1, true, &acknowledged, "1\n2\nu\n3\nid R7\nu\nu\n\n4\n")
	if err != nil || len(s.Added) != 0 || acknowledged.String() != "R001 1: nearest 1.0 Ω (E24), +0.0 %\nR001 3: nearest 3.0 Ω (E24), +0.0 %\n" {
		t.Errorf("%v, added %+v, acknowledged %q", err, s.Added, acknowledged.String())
	}
	for _, says := range []string{howTo, "  the shelf is full\n", "  taken back: R001 1\n", "an id is for one part", "no part of this sitting left to take back"} {
		if !strings.Contains(told, says) {
			t.Errorf("nobody said %q in\n%s", says, told)
		}
	}
}

// Who does not hear the acknowledgement must not be told of the next part.
func TestDeafPipe(t *testing.T) {
	s, _, err := sitting(9, false, deaf{}, "1\n2\n")
	if err == nil || !strings.Contains(err.Error(), "R001 is in the drawer, and could not be acknowledged") || len(s.Added) != 1 {
		t.Errorf("%v, %d added", err, len(s.Added))
	}
}

type deaf struct{}

func (deaf) Write([]byte) (int, error) { return 0, errors.New("broken pipe") }

// TestAnotherTray: a second reading with the prefix that was asked about is the
// answer, and no part is lost; one of the old prefix drops what was asked
// about, and says so.
func TestAnotherTray(t *testing.T) {
	var ohms strings.Builder
	for i := range lately {
		fmt.Fprintf(&ohms, "%d.5\n", 10+i)
	}
	for _, test := range []struct{ typed, last, says string }{
		{"1.18k\n1.49k\n1.79k\n", "1.18k 1.49k 1.79k", ""},
		{"1.18k\n51.5\n", "51.5", "dropped: 1.18k\n"},
		{"1.18k\n\n52.5\n", "52.5", ""},
		{"1.18k\nnonsense\n", "", "dropped: 1.18k\n"},
		{"nominal 4k7\n1.18\n1.19\ny\n", "1.19", "dropped: 1.18\n"},
	} {
		s, told, err := sitting(99, true, io.Discard, ohms.String()+test.typed)
		var got []string
		for _, p := range s.Added[lately:] {
			got = append(got, p.Ohms.Text)
		}
		if said := strings.Contains(told, "dropped: "); err != nil || strings.Join(got, " ") != test.last || !strings.Contains(told, test.says) || said != (test.says != "") {
			t.Errorf("%q: %q, %v\n%s", test.typed, got, err, told[max(0, len(told)-400):])
		}
	}
}
