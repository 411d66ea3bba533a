package meterfile

import "shuntwright/meter/quantity"

// Stated is a resistance that the file gives for what no network fills: a
// swamping resistor, a shunt in the lead, a contact.
type Stated struct {
	Resistor     int            // index into Meter.Resistors
	Value        quantity.Value // as typed: its last digit tells the resolution
	LimitPercent float64        // how far it is trusted, in percent of it; NaN: not said
	Instrument   string         // what measured it; empty: not named
	Place                       // where the instrument is named, else where the value stands
}

// mostLimit is the largest limit of a resistance, in percent of it: what is
// less sure than all of itself is not known.
const mostLimit = 100

// limitFields are the fields that may stand beside one to say how far it is
// trusted.
func limitFields(field string) []string {
	return []string{field + "_limit_percent", field + "_instrument"}
}

// stated reads a quantity and what is said of its limit. Value is zero where
// the field is not there.
func (o fields) stated(field string, unit quantity.Unit, sign quantity.Sign) Stated {
	d, value, by := o.d, o.get(field), o.get(field+"_instrument")
	limit := o.get(field + "_limit_percent")
	s := Stated{Value: d.quantity(value, field, unit, sign), Instrument: d.str(by, field+"_instrument", "bridge"),
		LimitPercent: o.number(field+"_limit_percent", func(x float64) bool { return x >= 0 && x <= mostLimit }, "from 0 to 100, in percent")}
	for i, n := range []*node{limit, by} {
		if n != nil && value == nil {
			d.fail(n.from, "write "+quote(field)+" beside it, or take it out", "%q is about %q, which is not there", limitFields(field)[i], field)
		}
	}
	if limit != nil && by != nil {
		d.fail(by.from, "take one of them out", "%q says how far %q is trusted, and so does its limit", field+"_instrument", field)
	}
	for _, n := range []*node{value, by} {
		if n != nil {
			s.Place = d.place(n.from)
		}
	}
	return s
}

// stand takes up what the movement and the circuits state, by the meter's
// resistors.
func (f *File) stand(said []map[string]Stated) {
	at := 1 // behind the coil
	take := func(field string, of map[string]Stated) {
		if s, known := of[field]; known && field != "" && s.Value.Base > 0 {
			s.Resistor = at
			f.Stated = append(f.Stated, s)
		}
		at++
	}
	take("swamp", said[0])
	for i, c := range f.Meter.Circuits {
		for _, r := range c.Resistors() {
			take(r.Field, said[1+i])
		}
	}
}
