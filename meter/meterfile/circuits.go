package meterfile

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/meter"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// circuits reads the list of circuits, and what is fitted in them into f.
func (d *reader) circuits(f *File, n *node) []meter.Circuit {
	if d.err != nil {
		return nil
	}
	if n.kind != '[' || len(n.members) == 0 {
		d.fail(n.from, `write [{"circuit": "direct", "range": "1 mA"}]`, "%q must be a list of at least one circuit", "circuits")
		return nil
	}
	var out []meter.Circuit
	for _, m := range n.members {
		c := d.circuit(f, m.value)
		if d.err != nil {
			return nil
		}
		out = append(out, c)
		d.fitted(f, m.value, c)
	}
	return out
}

// circuit makes one circuit from its object.
func (d *reader) circuit(f *File, n *node) meter.Circuit {
	kind := d.kind(n)
	if d.err != nil {
		return nil
	}
	ranges, such := "range", `"10 mA"`
	if kind.Many {
		ranges, such = "ranges", `["10 mA", "100 mA"]`
	}
	known := []string{"circuit", ranges, "fitted", "circuit_volts"}
	for _, field := range kind.Fields {
		known = append(append(known, field.Name), limitFields(field.Name)...)
	}
	if kind.Feeds {
		known = append(known, "with_ring")
	}
	o := d.object(n, "circuit "+kind.Name, known...)
	spec := meter.Spec{Given: map[string]float64{}, WithRing: d.str(o.get("with_ring"), "with_ring", "10 mA")}
	volts := math.NaN()
	if v := o.get("circuit_volts"); v != nil {
		volts = d.quantity(v, "circuit_volts", quantity.Volt, quantity.AnySign).Base
	}
	said := map[string]Stated{}
	for _, field := range kind.Fields {
		said[field.Name] = o.stated(field.Name, field.Unit, field.Sign)
		if o.get(field.Name) != nil {
			spec.Given[field.Name] = said[field.Name].Value.Base
		}
	}
	d.said = append(d.said, said)
	list := o.need(ranges, such)
	spec.Ranges = d.ranges(f, list, ranges, kind, volts)
	if d.err != nil {
		return nil
	}
	c, err := meter.NewCircuit(kind.Name, spec)
	if err != nil {
		d.fail(n.from, "see `meter new`", "%v", err)
	}
	return c
}

// kind is the kind of circuit that an object names.
func (d *reader) kind(n *node) meter.Kind {
	var names []string
	for _, k := range meter.Kinds() {
		names = append(names, k.Name)
	}
	hint := "known circuits: " + strings.Join(names, ", ")
	if n.kind != '{' {
		d.fail(n.from, `write {"circuit": "direct", "range": "1 mA"}`, "a circuit is %s where an object belongs", n.called())
		return meter.Kind{}
	}
	word := fields{n, d, "a circuit"}.need("circuit", `"direct"`)
	text := d.str(word, "circuit", "direct")
	kind, known := meter.FindKind(text)
	if d.err == nil && !known {
		d.fail(word.from, hint, "no circuit is called %q", text)
	}
	return kind
}

// ranges reads the one range or the list of ranges of a circuit.
func (d *reader) ranges(f *File, n *node, key string, kind meter.Kind, volts float64) []meter.Range {
	if d.err != nil {
		return nil
	}
	texts := []member{{value: n}}
	if kind.Many {
		if texts = n.members; n.kind != '[' || len(texts) == 0 {
			d.fail(n.from, `write ["10 mA", "100 mA"]`, "%q must be a list of at least one range", key)
		}
	}
	var out []meter.Range
	for _, m := range texts {
		t := m.value
		text := d.str(t, key, "grid 50 mA")
		if d.err != nil {
			return nil
		}
		r, err := meter.ParseRange(text, volts)
		if err != nil {
			d.refuse(t, "", err)
			return nil
		}
		if i := slices.IndexFunc(d.names, func(name string) bool { return meter.SameName(name, r.Name) }); i >= 0 {
			d.fail(t.from, `put a word before one of them, such as "grid `+r.Name+`"`, "range %q stands at %v already", r.Name, f.RangePlaces[i])
		}
		if !slices.Contains(kind.Units, r.Unit) {
			d.fail(t.from, "its ranges are in "+strings.ReplaceAll(strings.Trim(fmt.Sprint(kind.Units), "[]"), " ", " or "), "range %q is in %s, which circuit %s cannot make", r.Name, r.Unit, kind.Name)
		}
		d.names, f.RangePlaces = append(d.names, r.Name), append(f.RangePlaces, d.place(t.from))
		out = append(out, r)
	}
	return out
}

// fitted reads what is fitted in a circuit into f.
func (d *reader) fitted(f *File, n *node, c meter.Circuit) {
	var keys []string
	for _, r := range c.Resistors() {
		if r.Use == meter.Fitted {
			keys = append(keys, r.Key)
		}
	}
	in := n.find("fitted")
	if in >= 0 {
		d.fittedShape(n.members[in], keys, c.Kind())
	}
	for _, key := range keys {
		s := slot{circuit: n, key: key}
		if in >= 0 && d.err == nil {
			s.text = n.members[in].value
			if key != "" {
				s.text = s.text.get(key)
			}
		}
		f.slots = append(f.slots, s)
		f.Fitted = append(f.Fitted, d.network(s))
	}
}

// fittedShape checks that "fitted" has the form and the fields that its circuit
// has positions for.
func (d *reader) fittedShape(in member, keys []string, kind string) {
	switch {
	case len(keys) == 0:
		d.fail(in.from, "take it out", "a %s range has no position to fill", kind)
	case keys[0] == "":
		d.str(in.value, "fitted", "R001 || R002")
	case in.value.kind != '{':
		d.fail(in.value.from, `write {"`+keys[0]+`": "R001"}`, "%q is %s where an object belongs", "fitted", in.value.called())
	}
	for _, m := range in.value.members {
		if !slices.ContainsFunc(keys, func(k string) bool { return meter.SameName(k, m.key) }) {
			d.fail(m.from, "known here: "+strings.Join(keys, ", "), "this %s circuit has no position for %q", kind, m.key)
		}
	}
}

// network reads the network in a slot.
func (d *reader) network(s slot) Fitted {
	if s.text == nil {
		return Fitted{Place: d.place(s.circuit.from)}
	}
	text := d.str(s.text, "fitted", "R001 || R002")
	if d.err != nil {
		return Fitted{}
	}
	n, err := wiring.Parse(text)
	var se *wiring.SyntaxError
	if errors.As(err, &se) {
		at := s.text.from
		if len(text) == s.text.to-s.text.from-2 { // no escapes: the column in the text is one in the file
			at += 1 + len(string([]rune(text)[:se.Column-1]))
		}
		d.fail(at, "write such as R001 + (R002 || 24.6 ohm)", "%v", err)
	}
	return Fitted{true, n, strings.TrimSpace(text), d.place(s.text.from)}
}
