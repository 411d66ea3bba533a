package meterfile

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"shuntwright/meter/wiring"
)

// edited is what errors call the file that is being edited.
const edited = "meter file"

// SetFitted returns the meter file with a network written into a position, in
// place of what stood there; an empty one opens the position. All other bytes
// stay as they are: spaces, order, line endings. The error says that data is no
// meter file, that there is no such position, that the text is no network, or that
// the result would be refused, as where the part is in another position; nothing is
// returned then.
func SetFitted(data []byte, position, network string) ([]byte, error) {
	f, err := Parse(edited, data)
	if err != nil {
		return nil, err
	}
	at, ok := f.Meter.FindPosition(position)
	if !ok {
		var names []string
		for _, p := range f.Meter.Positions() {
			names = append(names, fmt.Sprintf("%q", p.Name))
		}
		return nil, fmt.Errorf("no position is called %q; this meter has %s", position, strings.Join(names, ", "))
	}
	if network == "" {
		return f.slots[at].cleared(data), nil
	}
	if _, err := wiring.Parse(network); err != nil {
		return nil, fmt.Errorf("filling %q: %w", position, err)
	}
	data = f.slots[at].filled(data, quote(strings.TrimSpace(network)))
	if _, err := Parse(edited, data); err != nil {
		return nil, fmt.Errorf("filling %q: %w", position, err)
	}
	return data, nil
}

// filled is the file with a network, in JSON, in the slot.
func (s slot) filled(data []byte, network string) []byte {
	switch in := s.circuit.get("fitted"); {
	case s.key == "":
		return put(data, s.circuit, "fitted", network)
	case in == nil:
		return put(data, s.circuit, "fitted", "{"+quote(s.key)+": "+network+"}")
	default:
		return put(data, in, s.key, network)
	}
}

// cleared is the file with nothing in the slot.
func (s slot) cleared(data []byte) []byte {
	if s.text == nil {
		return bytes.Clone(data)
	}
	if in := s.circuit.get("fitted"); s.key != "" && len(in.members) > 1 {
		return remove(data, in, in.find(s.key))
	}
	return remove(data, s.circuit, s.circuit.find("fitted"))
}

// splice replaces data[from:to] by text in a copy.
func splice(data []byte, from, to int, text string) []byte {
	return bytes.Join([][]byte{data[:from], []byte(text), data[to:]}, nil)
}

// put gives a field of an object a value in JSON, in place of what it held.
func put(data []byte, object *node, key, value string) []byte {
	if is := object.get(key); is != nil {
		return splice(data, is.from, is.to, value)
	}
	return add(data, object, key, value)
}

// add puts a field, or an item without a key, at the end of an object or a list, in
// the manner of the one before it.
func add(data []byte, in *node, key, value string) []byte {
	n := len(in.members)
	colon := ": "
	if n > 0 {
		colon = string(data[in.members[n-1].to:in.members[n-1].value.from])
	}
	if in.kind == '{' {
		value = quote(key) + colon + value
	}
	if n == 0 {
		return splice(data, in.from+1, in.from+1, value)
	}
	last, before := in.members[n-1], in.from+1
	if n > 1 {
		before = in.members[n-2].value.to
	}
	gap := string(data[before:last.from])
	if n > 1 {
		gap = strings.TrimPrefix(strings.TrimLeft(gap, " \t\r\n"), ",")
	} else if !strings.Contains(gap, "\n") {
		gap = " "
	}
	return splice(data, last.value.to, last.value.to, ","+gap+value)
}

// remove takes a field out of an object, or an item out of a list, with the comma
// that goes with it.
func remove(data []byte, in *node, i int) []byte {
	m := in.members[i]
	switch {
	case i > 0:
		return splice(data, in.members[i-1].value.to, m.value.to, "")
	case len(in.members) > 1:
		return splice(data, m.from, in.members[1].from, "")
	}
	return splice(data, in.from+1, in.to-1, "")
}

// quote is a text as JSON, with no more escapes than JSON asks for.
func quote(text string) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	_ = e.Encode(text) // a string in memory cannot fail
	return strings.TrimSuffix(b.String(), "\n")
}

// Given is a field of a meter file besides ranges and networks: "contact", "shunt",
// "circuit_volts", … An empty text stands for a field that is not there.
type Given struct{ Field, Text string }

// plainNumbers are the fields that hold a number without quotes, besides those
// in percent.
var plainNumbers = []string{"class", "divisions", "reference_celsius"}

// value is what the field holds in the file.
func (g Given) value() string {
	plain := slices.Contains(plainNumbers, g.Field) || strings.HasSuffix(g.Field, "_percent")
	if x, err := strconv.ParseFloat(g.Text, 64); plain && err == nil && !math.IsInf(x, 0) && !math.IsNaN(x) {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return quote(g.Text)
}
