package meterfile

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
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
	if n.kind != '[' || len(n.items) == 0 {
		d.fail(n.from, `write [{"circuit": "direct", "range": "1 mA"}]`, "%q must be a list of at least one circuit", "circuits")
		return nil
	}
	var out []meter.Circuit
	seen := map[*node]meter.Range{}
	for _, item := range n.items {
		c := d.circuit(item, seen)
		if d.err != nil {
			return nil
		}
		out = append(out, c)
		d.fitted(f, item, c)
	}
	for _, at := range slices.SortedFunc(maps.Keys(seen), func(a, b *node) int { return cmp.Compare(a.from, b.from) }) {
		line, column := place(d.data, at.from)
		f.RangePlaces = append(f.RangePlaces, [2]int{line, column})
	}
	return out
}

// rangesField is the name of the field in which a circuit of a kind has its ranges,
// and what may stand there.
func rangesField(kind meter.Kind) (name, such string) {
	if kind.Many {
		return "ranges", `["10 mA", "100 mA"]`
	}
	return "range", `"10 mA"`
}

// circuit makes one circuit from its object. seen holds the ranges so far, by
// where they stand.
func (d *reader) circuit(n *node, seen map[*node]meter.Range) meter.Circuit {
	kind := d.kind(n)
	if d.err != nil {
		return nil
	}
	ranges, such := rangesField(kind)
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
	spec.Ranges = d.ranges(list, ranges, kind, volts, seen)
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
	word := fields{d, n, "a circuit"}.need("circuit", `"direct"`)
	text := d.str(word, "circuit", "direct")
	i := slices.Index(names, text)
	if d.err != nil {
		return meter.Kind{}
	}
	if i < 0 {
		d.fail(word.from, hint, "no circuit is called %q", text)
		return meter.Kind{}
	}
	return meter.Kinds()[i]
}

// ranges reads the one range or the list of ranges of a circuit.
func (d *reader) ranges(n *node, key string, kind meter.Kind, volts float64, seen map[*node]meter.Range) []meter.Range {
	if d.err != nil {
		return nil
	}
	texts := []*node{n}
	if kind.Many {
		if texts = n.items; n.kind != '[' || len(texts) == 0 {
			d.fail(n.from, `write ["10 mA", "100 mA"]`, "%q must be a list of at least one range", key)
		}
	}
	var out []meter.Range
	for _, t := range texts {
		text := d.str(t, key, "grid 50 mA")
		if d.err != nil {
			return nil
		}
		r, err := meter.ParseRange(text, volts)
		if err != nil {
			d.fail(t.from, hintOf(err), "%s", whatOf(err))
			return nil
		}
		for at, other := range seen {
			if meter.SameName(other.Name, r.Name) {
				line, column := place(d.data, at.from)
				d.fail(t.from, `put a word before one of them, such as "grid `+r.Name+`"`, "range %q stands at %d:%d already", r.Name, line, column)
			}
		}
		if !slices.Contains(kind.Units, r.Unit) {
			d.fail(t.from, "its ranges are in "+strings.ReplaceAll(strings.Trim(fmt.Sprint(kind.Units), "[]"), " ", " or "), "range %q is in %s, which circuit %s cannot make", r.Name, r.Unit, kind.Name)
		}
		seen[t] = r
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
	in, _ := n.member("fitted")
	if in != nil {
		d.fittedShape(in, keys, c.Kind())
	}
	for _, key := range keys {
		s := slot{circuit: n, key: key}
		if in != nil && d.err == nil {
			s.text = in.value
			if key != "" {
				s.text = fields{d, in.value, ""}.get(key)
			}
		}
		f.slots = append(f.slots, s)
		f.Fitted = append(f.Fitted, d.network(s))
	}
}

// fittedShape checks that "fitted" has the form and the fields that its circuit
// has positions for.
func (d *reader) fittedShape(in *member, keys []string, kind string) {
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
		line, column := place(d.data, s.circuit.from)
		return Fitted{Line: line, Column: column}
	}
	line, column := place(d.data, s.text.from)
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
	return Fitted{true, n, strings.TrimSpace(text), line, column}
}
