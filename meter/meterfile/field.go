package meterfile

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"shuntwright/meter/quantity"
)

// fields is an object of which the fields are known.
type fields struct {
	*node
	d    *reader
	what string // what it describes: "the movement"
}

// object takes a node as an object with fields among known, and refuses others.
func (d *reader) object(n *node, what string, known ...string) fields {
	if n.kind != '{' {
		d.fail(n.from, `write {"`+known[0]+`": …}`, "%s is %s where an object belongs", what, n.called())
	}
	for _, m := range n.members {
		if !slices.Contains(known, m.key) {
			d.fail(m.from, "known here: "+strings.Join(known, ", "), "%s has no field %q", what, m.key)
		}
	}
	return fields{n, d, what}
}

// need is get for a field that must be there.
func (o fields) need(key, example string) *node {
	n := o.get(key)
	if n == nil {
		o.d.fail(o.from, fmt.Sprintf("write %q: %s", key, example), "%s has no %q", o.what, key)
	}
	return n
}

// str takes a node as text that is not empty; nil is no text.
func (d *reader) str(n *node, key, example string) string {
	if n == nil {
		return ""
	}
	if n.kind != '"' {
		d.fail(n.from, "write "+strconv.Quote(example), "%q is %s where a text belongs", key, n.called())
	} else if strings.TrimSpace(n.text) == "" {
		d.fail(n.from, "write such as "+strconv.Quote(example)+", or leave the field out", "%q is empty", key)
	}
	return n.text
}

// number takes a field as a plain number that ok accepts; NaN where it is not
// there.
func (o fields) number(key string, ok func(float64) bool, right string) float64 {
	n := o.get(key)
	if n == nil {
		return math.NaN()
	}
	x, err := strconv.ParseFloat(n.text, 64)
	switch {
	case n.kind != '0':
		o.d.fail(n.from, "write a number without quotes", "%q is %s where a number belongs", key, n.called())
	case err != nil || !ok(x):
		o.d.fail(n.from, "it must be "+right, "%q is %s", key, n.text)
	}
	return x
}

func positive(x float64) bool    { return x > 0 }
func notNegative(x float64) bool { return x >= 0 }

// examples are texts that are right, for the hints.
var examples = map[quantity.Unit]string{quantity.Ohm: "98.6 ohm", quantity.Ampere: "1 mA", quantity.Volt: "150 mV"}

// quantity takes a node as a quantity; the zero Value where it is not there.
func (d *reader) quantity(n *node, key string, unit quantity.Unit, sign quantity.Sign) quantity.Value {
	text := d.str(n, key, examples[unit])
	if n == nil || d.err != nil {
		return quantity.Value{}
	}
	v, err := quantity.Parse(text, unit, sign)
	if err != nil {
		d.refuse(n, strconv.Quote(key)+": ", err)
	}
	return v
}
