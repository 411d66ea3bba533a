// Package inventory looks after the drawer: the resistors on hand, each one
// measured, the file they stand in, and what the instruments that measured
// them promise.
package inventory

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// Part is one physical resistor. Floating-point fields are NaN where nothing
// is given, so start from NewPart.
type Part struct {
	ID         string         // unique in the drawer, see wiring.ValidID
	Ohms       quantity.Value // the reading, as typed; the zero Value for a part that is marked and was never measured. Of a spool in ohms per metre
	Instrument string         // what read it, a name in the instruments' file; empty: not said

	GainPercent float64 // limit of this reading in percent of it, where it differs from its instrument's
	FloorOhms   float64 // limit of this reading that does not grow with it, likewise

	Nominal          quantity.Value // as marked on the part; the zero Value: not given
	TolerancePercent float64        // as marked on the part
	Watts            float64        // rated dissipation at 70 °C
	Volts            float64        // limiting element voltage

	TempcoPPM    float64 // temperature coefficient in ppm/K: a limit of either sign, or the value itself
	TempcoSigned bool    // TempcoPPM is the value itself: it was written with a sign

	Metres  float64 // of a spool of wire: what is left of it
	Amperes float64 // of a spool: what its wire may carry

	Kind, Place, Note string // free text
	Fitted            string // empty, or where the part is now: "bench meter: shunt grid 50 mA"
	Date              string // day of the reading, as YYYY-MM-DD unless somebody wrote it otherwise
	Earlier           string // what the part read before: "24.65 by hand meter on 2024-05-31; 24.7"
}

// NewPart returns a part with a reading, of which nothing else is known.
func NewPart(ohms quantity.Value) Part {
	nan := math.NaN()
	return Part{Ohms: ohms, GainPercent: nan, FloorOhms: nan, TolerancePercent: nan, Watts: nan, Volts: nan, TempcoPPM: nan, Metres: nan, Amperes: nan}
}

// Measured tells whether the part has a reading; if not, all that is known of
// it is what is marked on it.
func (p Part) Measured() bool { return given(p.Ohms) }

func given(v quantity.Value) bool { return v != quantity.Value{} }

// Remeasured returns the part with a new reading of a day, and the old one kept
// behind those before it, with its instrument and day, unless one of the two is a
// slip. Limits that were the old reading's own are gone; the instrument stays.
func (p Part) Remeasured(reading quantity.Value, day string) Part {
	if p.Measured() && !FarApart(p.Ohms.Base, reading.Base) {
		was := p.Ohms.Text
		if p.Instrument != "" {
			was += " by " + p.Instrument
		}
		if p.Date != "" {
			was += " on " + p.Date
		}
		if p.Earlier != "" {
			was = p.Earlier + "; " + was
		}
		p.Earlier = was
	}
	p.Ohms, p.Date = reading, day
	p.GainPercent, p.FloorOhms = math.NaN(), math.NaN()
	return p
}

// Alike tells whether all fields of two parts are the same; a value counts by
// its size and its last digit, however it was typed.
func Alike(a, b Part) bool {
	return !slices.ContainsFunc(columns, func(c column) bool { return !c.same(a, b) })
}

// Field is what a part has in one column: Number, or Text where that is NaN.
type Field struct {
	Column string // its name
	Text   string
	Number float64
}

// Fields returns what is given of a part, in the order of the columns. A
// resistance is a text: as it was typed.
func (p Part) Fields() []Field {
	var out []Field
	for _, c := range columns {
		f := Field{Column: c.name, Number: math.NaN()}
		switch {
		case c.text != nil:
			f.Text = *c.text(&p)
		case c.value != nil:
			f.Text = c.value(&p).Text
		default:
			f.Number = *c.number(&p)
		}
		if f.Text != "" || !math.IsNaN(f.Number) {
			out = append(out, f)
		}
	}
	return out
}

// Has tells whether anything is given in a column.
func (p Part) Has(column string) bool {
	return slices.ContainsFunc(p.Fields(), func(f Field) bool { return f.Column == column })
}

// Columns returns the names of the columns of a drawer, in their order.
func Columns() []string {
	var out []string
	for _, c := range columns {
		out = append(out, c.name)
	}
	return out
}

// Set puts a text as somebody types it into the field of a column; an empty one
// takes out what is there. The error says what is wrong with the text, not
// where it comes from. There must be a column of that name.
func (p *Part) Set(column, text string) error {
	c := columns[columnOf(column)]
	c.clear(p)
	if text = strings.TrimSpace(text); text == "" {
		return nil
	}
	return c.read(p, text, decimals{})
}

// problem is what is wrong with a part, and the column that it is wrong in.
type problem struct {
	column string
	error
}

// whole checks what no cell can say alone; loose lets the id be empty.
func (p Part) whole(loose bool) *problem {
	if p.ID == "" && !loose {
		return &problem{"id", fmt.Errorf("the id is empty; write one such as R001")}
	}
	if err := wiring.ValidID(p.ID); err != nil && p.ID != "" {
		return &problem{"id", err}
	}
	switch {
	case p.IsSpool() && math.IsNaN(p.Metres):
		return &problem{"ohms", fmt.Errorf("the spool%s has no length; say how many metres are left, such as 5", p.quoted())}
	case !p.IsSpool() && !math.IsNaN(p.Metres):
		return &problem{"metres", fmt.Errorf("metres are of wire, and the part%s is none: wire reads such as 9.98 ohm/m", p.quoted())}
	case p.Measured():
	case !given(p.Nominal):
		return &problem{"ohms", fmt.Errorf("the part%s has no resistance; write its reading, or what is marked on it as nominal and tolerance_percent", p.quoted())}
	case math.IsNaN(p.TolerancePercent):
		return &problem{"ohms", fmt.Errorf("the part%s has no reading and no tolerance_percent to trust its nominal by; write one of them", p.quoted())}
	}
	return nil
}

// quoted is the id behind a space, or nothing.
func (p Part) quoted() string {
	if p.ID == "" {
		return ""
	}
	return fmt.Sprintf(" %q", p.ID)
}

// sound checks a part that did not come from a file.
func (p Part) sound() error {
	if wrong := p.whole(false); wrong != nil {
		return wrong.error
	}
	for _, c := range columns {
		switch {
		case c.text != nil:
			text := *c.text(&p)
			if !utf8.ValidString(text) || strings.ContainsAny(text, "\x00\r") {
				return fmt.Errorf("%s %q holds what is no text", c.name, text)
			}
		case c.number != nil:
			x := *c.number(&p)
			if math.IsInf(x, 0) || x < 0 && c.sign != quantity.AnySign || x == 0 && c.sign == quantity.Positive {
				return fmt.Errorf("%s %g is out of range; leave it out where it is not known", c.name, x)
			}
			if err := c.tooMuch(x); err != nil {
				return fmt.Errorf("%s %w", c.name, err)
			}
		case c.value != nil:
			v := *c.value(&p)
			if given(v) && !((v.Unit == quantity.Ohm || c.wire && v.Unit == quantity.OhmPerMetre) && v.Base > 0 && !math.IsInf(v.Base, 0)) {
				return fmt.Errorf("%s %q is no resistance above zero", c.name, v.Text)
			}
		}
	}
	if p.TempcoPPM < 0 && !p.TempcoSigned {
		return fmt.Errorf("tempco_ppm %g is a limit and negative; write 50 for ±50, or -50 for the value itself", p.TempcoPPM)
	}
	return nil
}
