package instrument

import (
	"fmt"
	"slices"
	"strings"

	"shuntwright/meter/quantity"
)

// What two-wire readings suffer from, common practice: leads and clips of a
// hand-held meter have some half an ohm if they are not subtracted, and their
// contacts vary by some hundredths all the same.
const (
	lowOhms      = 5
	leadsOhms    = 0.5
	contactsOhms = 0.05
)

// TwoWires is a low resistance that was read through leads.
type TwoWires struct {
	Of         string  // what was read, such as "part R033"; empty: a resistance without a name
	Ohms       float64 // what it is taken for, more than zero
	OffOhms    float64 // how far off that can be, to either side
	Subtracted bool    // the leads are taken off, so that contacts are left
}

// ReadThrough tells of a resistance, with the leads subtracted, what leads and
// contacts leave unsure of it; nil where there is nothing to say.
func (i Instrument) ReadThrough(of string, ohms float64) *TwoWires {
	switch {
	case i.Wires != 2 || ohms >= lowOhms:
		return nil
	case i.LeadsOhms > 0 || i.LeadsFloorOhms > 0: // zeroed on the instrument, or here
		return &TwoWires{of, ohms, max(contactsOhms, i.LeadsFloorOhms), true}
	}
	return &TwoWires{of, ohms, leadsOhms, false}
}

// Unreadable tells that it is less than the contacts alone vary by, so that nobody
// read it so: it is marked with that, or four wires read it.
func (t TwoWires) Unreadable() bool { return t.Ohms < contactsOhms }

// Warnings say of all such readings how far off they can be: one line for those of
// a kind, nil among them left out. The page on limits has the better way.
func Warnings(all []*TwoWires) []string {
	var out []string
	var done []TwoWires
	for _, t := range all {
		if t == nil || slices.ContainsFunc(done, func(d TwoWires) bool { return d.OffOhms == t.OffOhms && d.Subtracted == t.Subtracted }) {
			continue
		}
		done = append(done, *t)
		var alike []TwoWires
		for _, o := range all {
			if o != nil && o.OffOhms == t.OffOhms && o.Subtracted == t.Subtracted && !slices.Contains(alike, *o) {
				alike = append(alike, *o)
			}
		}
		out = append(out, sentence(alike))
	}
	return out
}

// sentence warns of readings that suffer alike.
func sentence(alike []TwoWires) string {
	first := alike[0]
	ohms, off := quantity.Format(first.Ohms, quantity.Ohm, 4), quantity.Format(first.OffOhms, quantity.Ohm, 2)
	if len(alike) == 1 {
		if first.Of != "" {
			ohms = first.Of + ": " + ohms
		}
		if first.Unreadable() {
			return fmt.Sprintf("%s is less than two wires can read: if it is marked, drawer add --nominal %.4gohm --tolerance 0.5, then fit its id; if four wires read it, name them with --instrument", ohms, first.Ohms)
		}
		return fmt.Sprintf("%s by two wires may be %s off (%.0f %%): help limits", ohms, off, 100*first.OffOhms/first.Ohms)
	}
	least, most := first.OffOhms/first.Ohms, 0.0
	var names []string
	parts := true
	for _, t := range alike {
		least, most = min(least, t.OffOhms/t.Ohms), max(most, t.OffOhms/t.Ohms)
		name, part := strings.CutPrefix(t.Of, "part ")
		if parts = parts && part; t.Of == "" {
			name = quantity.Format(t.Ohms, quantity.Ohm, 4)
		}
		names = append(names, name)
	}
	begin := strings.Join(names, ", ")
	if parts {
		begin = "parts " + begin
	}
	return fmt.Sprintf("%s by two wires may be %s off (%.0f to %.0f %%): help limits", begin, off, 100*least, 100*most)
}
