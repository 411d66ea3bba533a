package meterfile

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"shuntwright/meter/wiring"
)

// SetFitted returns the meter file with a network written into a position, in
// place of what stood there. All other bytes stay as they are: spaces, order,
// line endings. The error says that data is no meter file, that there is no
// such position, that the text is no network, or that the result would be
// refused, as where the part is in another position; nothing is returned then.
func SetFitted(data []byte, position, network string) ([]byte, error) {
	f, at, err := find(data, position)
	if err != nil {
		return nil, err
	}
	if _, err := wiring.Parse(network); err != nil {
		return nil, fmt.Errorf("filling %q: %w", position, err)
	}
	text, s := quote(strings.TrimSpace(network)), f.slots[at]
	fitted, _ := s.circuit.member("fitted")
	switch {
	case s.text != nil:
		data = splice(data, s.text.from, s.text.to, text)
	case s.key == "":
		data = insert(data, s.circuit, "fitted", text)
	case fitted == nil:
		data = insert(data, s.circuit, "fitted", "{"+quote(s.key)+": "+text+"}")
	default:
		data = insert(data, fitted.value, s.key, text)
	}
	if _, err := Parse(edited, data); err != nil {
		return nil, fmt.Errorf("filling %q: %w", position, err)
	}
	return data, nil
}

// ClearFitted returns the meter file with a position open. All other bytes stay
// as they are, and a position that is open already leaves them all. The error
// says that data is no meter file or that there is no such position.
func ClearFitted(data []byte, position string) ([]byte, error) {
	f, at, err := find(data, position)
	if err != nil {
		return nil, err
	}
	s := f.slots[at]
	if s.text == nil {
		return bytes.Clone(data), nil
	}
	fitted, i := s.circuit.member("fitted")
	if s.key != "" && len(fitted.value.members) > 1 {
		_, j := fitted.value.member(s.key)
		return remove(data, fitted.value, j), nil
	}
	return remove(data, s.circuit, i), nil
}

// edited is what errors call the file that is being edited.
const edited = "meter file"

// find parses the file and returns the index of a position in it.
func find(data []byte, position string) (*File, int, error) {
	f, err := Parse(edited, data)
	if err != nil {
		return nil, 0, err
	}
	at, ok := f.Meter.FindPosition(position)
	if !ok {
		var names []string
		for _, p := range f.Meter.Positions() {
			names = append(names, fmt.Sprintf("%q", p.Name))
		}
		return nil, 0, fmt.Errorf("no position is called %q; this meter has %s", position, strings.Join(names, ", "))
	}
	return f, at, nil
}

// splice replaces data[from:to] by text in a copy.
func splice(data []byte, from, to int, text string) []byte {
	return bytes.Join([][]byte{data[:from], []byte(text), data[to:]}, nil)
}

// insert adds a field at the end of an object, in the manner of the field
// before it.
func insert(data []byte, object *node, key, value string) []byte {
	n := len(object.members)
	if n == 0 {
		return splice(data, object.from+1, object.from+1, quote(key)+": "+value)
	}
	last := object.members[n-1]
	before := object.from + 1
	if n > 1 {
		before = object.members[n-2].value.to
	}
	gap := strings.TrimPrefix(strings.TrimLeft(string(data[before:last.from]), " \t\r\n"), ",")
	if n == 1 {
		gap = string(data[before:last.from])
		if !strings.Contains(gap, "\n") {
			gap = " "
		}
	}
	colon := string(data[last.to:last.value.from])
	return splice(data, last.value.to, last.value.to, ","+gap+quote(key)+colon+value)
}

// remove takes a field out of an object, with the comma that goes with it.
func remove(data []byte, object *node, i int) []byte {
	m := object.members[i]
	switch {
	case i > 0:
		return splice(data, object.members[i-1].value.to, m.value.to, "")
	case len(object.members) > 1:
		return splice(data, m.from, object.members[1].from, "")
	}
	return splice(data, object.from+1, object.to-1, "")
}

// quote is a text as JSON, with no more escapes than JSON asks for.
func quote(text string) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	_ = e.Encode(text) // a string in memory cannot fail
	return strings.TrimSuffix(b.String(), "\n")
}

// plainNumbers are the fields that hold a number without quotes, besides those
// in percent.
var plainNumbers = []string{"class", "divisions", "reference_celsius"}

// setMember replaces, adds or removes one field of an object.
func setMember(data []byte, object *node, g Given) []byte {
	text := g.value()
	at, i := object.member(g.Field)
	switch {
	case g.Text == "" && at == nil:
		return data
	case g.Text == "":
		return remove(data, object, i)
	case at == nil:
		return insert(data, object, g.Field, text)
	}
	return splice(data, at.value.from, at.value.to, text)
}
