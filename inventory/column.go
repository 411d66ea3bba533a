package inventory

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"shuntwright/inventory/instrument"
	"shuntwright/meter/quantity"
)

// column is a column of the drawer's file that means something here: one of
// text, value and number leads to its field. A column more is a row more in
// columns, and a field of Part.
type column struct {
	name   string
	text   func(*Part) *string
	value  func(*Part) *quantity.Value
	number func(*Part) *float64
	unit   quantity.Unit
	sign   quantity.Sign
	most   float64 // largest number taken; 0: any
	hint   string  // what is right of a larger one
}

// Tolerances and limits above half of the value say nothing of it.
const (
	mostTolerance = 50
	toleranceHint = "IEC 60062 marks tolerances up to 30 %, and no band stands for 20 %"
	gainHint      = "what is not known to half of itself is not measured"
)

var columns = []column{
	{name: "id", text: func(p *Part) *string { return &p.ID }},
	{name: "ohms", value: func(p *Part) *quantity.Value { return &p.Ohms }, unit: quantity.Ohm, sign: quantity.Positive},
	{name: "instrument", text: func(p *Part) *string { return &p.Instrument }},
	{name: "gain_percent", number: func(p *Part) *float64 { return &p.GainPercent }, unit: quantity.Percent, sign: quantity.NotNegative,
		most: instrument.MostGainPercent, hint: gainHint},
	{name: "floor_ohms", number: func(p *Part) *float64 { return &p.FloorOhms }, unit: quantity.Ohm, sign: quantity.NotNegative},
	{name: "nominal", value: func(p *Part) *quantity.Value { return &p.Nominal }, unit: quantity.Ohm, sign: quantity.Positive},
	{name: "tolerance_percent", number: func(p *Part) *float64 { return &p.TolerancePercent }, unit: quantity.Percent, sign: quantity.Positive,
		most: mostTolerance, hint: toleranceHint},
	{name: "watts", number: func(p *Part) *float64 { return &p.Watts }, unit: quantity.Watt, sign: quantity.Positive},
	{name: "volts", number: func(p *Part) *float64 { return &p.Volts }, unit: quantity.Volt, sign: quantity.Positive},
	{name: "tempco_ppm", number: func(p *Part) *float64 { return &p.TempcoPPM }, unit: quantity.PPMPerKelvin, sign: quantity.AnySign},
	{name: "kind", text: func(p *Part) *string { return &p.Kind }},
	{name: "place", text: func(p *Part) *string { return &p.Place }},
	{name: "note", text: func(p *Part) *string { return &p.Note }},
	{name: "fitted", text: func(p *Part) *string { return &p.Fitted }},
}

// signed tells the column whose numbers mean something else with a sign than
// without.
func (c column) signed() bool { return c.sign == quantity.AnySign }

// read puts a cell that is not empty into its field.
func (c column) read(p *Part, cell string, d decimals) error {
	if c.text != nil {
		*c.text(p) = cell
		return nil
	}
	if c.signed() {
		p.TempcoSigned = strings.ContainsAny(cell[:1], "+-") || strings.HasPrefix(cell, "−")
		cell = strings.TrimPrefix(cell, "±")
	}
	v, err := d.parse(cell, c.unit, c.sign)
	if err != nil {
		return err
	}
	if err := c.tooMuch(v.Base); err != nil {
		return err
	}
	if c.value != nil {
		*c.value(p) = v
	} else {
		*c.number(p) = v.Base
	}
	return nil
}

// tooMuch refuses a number that is larger than any of its kind.
func (c column) tooMuch(x float64) error {
	if c.most > 0 && x > c.most {
		return fmt.Errorf("%g is more than %g; %s", x, c.most, c.hint)
	}
	return nil
}

// cell writes a field the way read reads it; empty where nothing is given.
func (c column) cell(p Part, d decimals) string {
	switch {
	case c.text != nil:
		return strings.TrimSpace(*c.text(&p))
	case c.value != nil:
		return d.write(*c.value(&p), c.sign)
	}
	x := *c.number(&p)
	if math.IsNaN(x) {
		return ""
	}
	text := d.signs(strconv.FormatFloat(x, 'f', -1, 64))
	if c.signed() && p.TempcoSigned && x >= 0 {
		text = "+" + text
	}
	return text
}

// same tells whether a field is the same in two parts.
func (c column) same(a, b Part) bool {
	switch {
	case c.text != nil:
		return strings.TrimSpace(*c.text(&a)) == strings.TrimSpace(*c.text(&b))
	case c.value != nil:
		return c.value(&a).Base == c.value(&b).Base && c.value(&a).Step == c.value(&b).Step
	}
	x, y := *c.number(&a), *c.number(&b)
	return (x == y || math.IsNaN(x) && math.IsNaN(y)) && (!c.signed() || a.TempcoSigned == b.TempcoSigned)
}

// decimals tells how a file writes its decimal fractions.
type decimals struct {
	comma  bool // with commas, all of them
	strict bool // what is added must be written as all the rest is
}

// parse reads a quantity as this file writes it.
func (d decimals) parse(text string, unit quantity.Unit, sign quantity.Sign) (quantity.Value, error) {
	if d.comma {
		return quantity.ParseComma(text, unit, sign)
	}
	return quantity.Parse(text, unit, sign)
}

// signs changes the decimal sign of a number to the file's.
func (d decimals) signs(text string) string {
	if d.comma {
		return strings.ReplaceAll(text, ".", ",")
	}
	return strings.ReplaceAll(text, ",", ".")
}

// write returns a value as typed, if this file reads the same value back,
// else with the decimal sign changed; where neither does, the shortest digits
// of the value.
func (d decimals) write(v quantity.Value, sign quantity.Sign) string {
	if !given(v) {
		return ""
	}
	texts := []string{v.Text, d.signs(v.Text)}
	if d.strict {
		texts = texts[1:]
	}
	for _, text := range texts {
		if again, err := d.parse(text, v.Unit, sign); err == nil && again.Base == v.Base {
			return text
		}
	}
	return d.signs(strconv.FormatFloat(v.Base, 'f', -1, 64))
}
