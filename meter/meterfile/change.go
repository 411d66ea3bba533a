package meterfile

import (
	"fmt"
	"slices"
	"strings"

	"shuntwright/meter"
)

// Editing is a meter file on its way to another. What no step touches stays as
// it is, byte for byte; what the steps lead to is checked when they have all
// been made, by Bytes.
type Editing struct{ data []byte }

// Edit begins with a meter file; the error is that of Parse.
func Edit(data []byte) (*Editing, error) {
	if _, err := Parse(edited, data); err != nil {
		return nil, err
	}
	return &Editing{data}, nil
}

// Bytes is the file as the steps have made it. The error says why it would be
// refused.
func (e *Editing) Bytes() ([]byte, error) {
	if _, err := Parse(edited, e.data); err != nil {
		return nil, err
	}
	return e.data, nil
}

// tree is the file as it is now; the steps keep it JSON of the right form.
func (e *Editing) tree() *node { return (&reader{name: edited, data: e.data}).tree() }

// Set replaces fields of the movement, or "name" and "class" of the meter; one
// with an empty text is taken out.
func (e *Editing) Set(fields ...Given) {
	for _, g := range fields {
		e.set(func() *node { return e.holder(g.Field) }, g)
	}
}

// holder is the object that has a field that Set may set.
func (e *Editing) holder(field string) *node {
	if field == "name" || field == "class" {
		return e.tree()
	}
	return e.tree().get("movement")
}

// set replaces a field of an object, with what would contradict it: the limit
// of what is no longer there, and of a limit and an instrument the one that is
// not said now.
func (e *Editing) set(object func() *node, g Given) {
	var out []string
	switch of, limit := strings.CutSuffix(g.Field, "_limit_percent"); {
	case g.Text == "":
		out = append(limitFields(g.Field), g.Field)
	case limit:
		out = []string{of + "_instrument"}
	case strings.HasSuffix(g.Field, "_instrument"):
		out = []string{strings.TrimSuffix(g.Field, "_instrument") + "_limit_percent"}
	}
	if g.Text != "" {
		e.data = put(e.data, object(), g.Field, g.value())
	}
	for _, field := range out {
		if o := object(); o.get(field) != nil {
			e.data = remove(e.data, o, o.find(field))
		}
	}
}

// circuits are the objects of the circuits.
func (e *Editing) circuits() []member { return e.tree().get("circuits").members }

// rangeNodes are the texts of a circuit's ranges.
func rangeNodes(circuit *node) []*node {
	if one := circuit.get("range"); one != nil {
		return []*node{one}
	}
	var out []*node
	for _, m := range circuit.get("ranges").members {
		out = append(out, m.value)
	}
	return out
}

// find returns the index of the circuit that has a range, and the range's among the
// circuit's.
func (e *Editing) find(name string) (circuit, at int, err error) {
	var names []string
	for i, c := range e.circuits() {
		for k, r := range rangeNodes(c.value) {
			if meter.SameName(r.text, name) {
				return i, k, nil
			}
			names = append(names, fmt.Sprintf("%q", r.text))
		}
	}
	return 0, 0, fmt.Errorf("no range is called %q; this meter has %s", name, strings.Join(names, ", "))
}

// Text is what a field holds that Set may set; empty where it is not there.
func (e *Editing) Text(field string) string {
	if is := e.holder(field).get(field); is != nil {
		return is.text
	}
	return ""
}

// Rename is a range's name and the one that it is to have.
type Rename struct{ From, To string }

// Rename gives ranges other names, all at once, wherever the file has them:
// what is fitted for them stays. The error says that there is no such range.
func (e *Editing) Rename(names ...Rename) error {
	type text struct {
		from, to int
		new      string
	}
	var all []text
	take := func(old string, from, to int) {
		for _, n := range names {
			if meter.SameName(old, n.From) {
				all = append(all, text{from, to, n.To})
				return
			}
		}
	}
	for _, n := range names {
		if _, _, err := e.find(n.From); err != nil {
			return err
		}
	}
	for _, c := range e.circuits() {
		for _, r := range rangeNodes(c.value) {
			take(r.text, r.from, r.to)
		}
		if ring := c.value.get("with_ring"); ring != nil {
			take(ring.text, ring.from, ring.to)
		}
		if in := c.value.get("fitted"); in != nil {
			for _, m := range in.members {
				take(m.key, m.from, m.to)
			}
		}
	}
	slices.SortFunc(all, func(a, b text) int { return b.from - a.from })
	for _, t := range all {
		e.data = splice(e.data, t.from, t.to, quote(t.new))
	}
	return nil
}

// Without takes a range out, with what is fitted for it, and a circuit with its
// last one. The error says that there is no such range.
func (e *Editing) Without(name string) error {
	index, at, err := e.find(name)
	if err != nil {
		return err
	}
	circuit := e.circuits()[index].value
	if len(rangeNodes(circuit)) == 1 {
		e.data = remove(e.data, e.tree().get("circuits"), index)
		return nil
	}
	if in := circuit.get("fitted"); in != nil && in.get(name) != nil {
		e.data = slot{circuit, name, in.get(name)}.cleared(e.data)
	}
	e.data = remove(e.data, e.circuits()[index].value.get("ranges"), at)
	return nil
}

// With adds the ranges of a circuit. A kind that takes many gets them in the
// circuit that has one of them already, or in the only one of the kind there
// is, in the order of their values. Fields are set anew in a circuit that is
// there; one with an empty text is taken out. The error says that a range is in
// another circuit, that nothing would be different, or which circuit is meant
// is not clear.
func (e *Editing) With(c CircuitDescription) error {
	index, err := e.meant(c)
	if err != nil {
		return err
	}
	if index < 0 {
		e.data = add(e.data, e.tree().get("circuits"), "", c.encode())
		return nil
	}
	added := false
	for _, name := range c.Ranges {
		if _, _, err := e.find(name); err != nil {
			added = true
			if err := e.addRange(index, name); err != nil {
				return err
			}
		}
	}
	if !added && len(c.Given) == 0 {
		return fmt.Errorf("%s has %s already", c.Circuit, strings.Join(c.Ranges, " and "))
	}
	for _, g := range c.Given {
		e.set(func() *node { return e.circuits()[index].value }, g)
	}
	return nil
}

// meant is the index of the circuit that a description is about; -1: a new one.
func (e *Editing) meant(c CircuitDescription) (int, error) {
	found := -1
	for _, name := range c.Ranges {
		index, _, err := e.find(name)
		if err != nil {
			continue
		}
		if kind := e.circuits()[index].value.get("circuit").text; kind != c.Circuit {
			return 0, fmt.Errorf("the range %q is there already, by %s", name, kind)
		}
		if found >= 0 && found != index {
			return 0, fmt.Errorf("%s are in more than one %s", strings.Join(c.Ranges, " and "), c.Circuit)
		}
		found = index
	}
	if kind, _ := meter.FindKind(c.Circuit); found >= 0 || !kind.Many {
		return found, nil
	}
	for i, other := range e.circuits() {
		if other.value.get("circuit").text != c.Circuit {
			continue
		}
		if found >= 0 {
			return 0, fmt.Errorf("there is more than one %s; name one of its ranges too", c.Circuit)
		}
		found = i
	}
	return found, nil
}

// addRange puts a range into a circuit of many, before the first that is larger.
func (e *Editing) addRange(index int, name string) error {
	of := func(text string) (float64, error) {
		r, err := meter.ParseRange(text, 0)
		return r.FullScale, err
	}
	value, err := of(name)
	if err != nil {
		return err
	}
	list := e.circuits()[index].value.get("ranges")
	for _, m := range list.members {
		if x, err := of(m.value.text); err == nil && x > value {
			e.data = splice(e.data, m.from, m.from, quote(name)+", ")
			return nil
		}
	}
	e.data = add(e.data, list, "", quote(name))
	return nil
}
