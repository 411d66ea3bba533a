package inventory

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"shuntwright/inventory/instrument"
	"shuntwright/inventory/table"
	"shuntwright/meter/quantity"
)

// column is a column of the drawer's file that means something here: one of
// text, value and number leads to its field. A column more is a row more in
// columns, and a field of Part.
type column struct {
	name   string
	also   []string // what other people call it, in lower case
	wire   bool     // of a spool it is in ohms per metre
	byUnit bool     // a unit alone is a name of it too: "kOhm"
	rare   bool     // a new file has it only where there is something to put in
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
	{name: "ohms", value: func(p *Part) *quantity.Value { return &p.Ohms }, unit: quantity.Ohm, sign: quantity.Positive, byUnit: true, wire: true,
		also: []string{"value", "resistance", "res", "r", "reading", "measured", "measured value", "wert", "widerstand", "widerstandswert", "messwert", "gemessen", "wert gemessen", "gemessener wert", "ist", "istwert",
			"valeur", "résistance"}},
	{name: "instrument", text: func(p *Part) *string { return &p.Instrument }, also: []string{"measured with", "messgerät", "messgeraet"}},
	{name: "gain_percent", number: func(p *Part) *float64 { return &p.GainPercent }, unit: quantity.Percent, sign: quantity.NotNegative,
		most: instrument.MostGainPercent, hint: gainHint},
	{name: "floor_ohms", number: func(p *Part) *float64 { return &p.FloorOhms }, unit: quantity.Ohm, sign: quantity.NotNegative},
	{name: "nominal", value: func(p *Part) *quantity.Value { return &p.Nominal }, unit: quantity.Ohm, sign: quantity.Positive,
		also: []string{"nominal value", "marked", "marking", "nennwert", "sollwert", "soll", "aufdruck"}},
	{name: "tolerance_percent", number: func(p *Part) *float64 { return &p.TolerancePercent }, unit: quantity.Percent, sign: quantity.Positive, byUnit: true,
		also: []string{"tolerance", "tol", "tol.", "toleranz", "tolérance"}, most: mostTolerance, hint: toleranceHint},
	{name: "watts", number: func(p *Part) *float64 { return &p.Watts }, unit: quantity.Watt, sign: quantity.Positive, byUnit: true,
		also: []string{"power", "p", "pmax", "rated power", "power rating", "wattage", "leistung", "nennleistung", "belastbarkeit", "puissance"}},
	{name: "volts", number: func(p *Part) *float64 { return &p.Volts }, unit: quantity.Volt, sign: quantity.Positive, byUnit: true,
		also: []string{"voltage", "u", "umax", "vmax", "max voltage", "working voltage", "voltage rating", "spannung", "max. spannung", "nennspannung"}},
	{name: "tempco_ppm", number: func(p *Part) *float64 { return &p.TempcoPPM }, unit: quantity.PPMPerKelvin, sign: quantity.AnySign, byUnit: true,
		also: []string{"tempco", "tcr", "tk"}},
	{name: "kind", text: func(p *Part) *string { return &p.Kind }, also: []string{"type", "technology", "material", "typ", "art", "bauart"}},
	{name: "place", text: func(p *Part) *string { return &p.Place }, also: []string{"location", "box", "tray", "bin", "ort", "fach", "lagerort", "kiste"}},
	{name: "note", text: func(p *Part) *string { return &p.Note }, also: []string{"notes", "remark", "remarks", "comment", "comments", "bemerkung", "notiz", "anmerkung", "kommentar"}},
	{name: "metres", number: func(p *Part) *float64 { return &p.Metres }, unit: quantity.Metre, sign: quantity.NotNegative, rare: true},
	{name: "amperes", number: func(p *Part) *float64 { return &p.Amperes }, unit: quantity.Ampere, sign: quantity.Positive, rare: true},
	{name: "fitted", text: func(p *Part) *string { return &p.Fitted }},
	{name: "date", text: func(p *Part) *string { return &p.Date }, rare: true},
	{name: "earlier", text: func(p *Part) *string { return &p.Earlier }, rare: true},
}

// heading is how a table finds the column; strangers lets texts be called as
// other people call them. What would be numbers counts under every name
// always: nobody may lose a rating to a heading.
func (c column) heading(strangers bool) table.Column {
	of := table.Column{Name: c.name}
	if c.text == nil || strangers {
		of.Also = c.also
	}
	if c.text == nil {
		of.Unit = c.isUnit
	}
	return of
}

// isUnit tells whether a text in the name of the column is a unit of it.
// Alone it may be no prefix: R, k and M name nothing.
func (c column) isUnit(text string, alone bool) bool {
	parse := quantity.Parse
	if alone {
		parse = func(text string, unit quantity.Unit, sign quantity.Sign) (quantity.Value, error) {
			return quantity.ParseNamed(text, sign, unit)
		}
	}
	_, err := parse("1 "+text, c.unit, quantity.Positive)
	return err == nil && text != "" && (c.byUnit || !alone)
}

// signed tells the column whose numbers mean something else with a sign than
// without.
func (c column) signed() bool { return c.sign == quantity.AnySign }

// read puts a cell that is not empty into its field.
func (c column) read(p *Part, cell string, d decimals) error {
	if c.text != nil {
		*c.text(p) = table.Unguard(cell)
		return nil
	}
	if c.signed() {
		p.TempcoSigned = strings.ContainsAny(cell[:1], "+-") || strings.HasPrefix(cell, "−")
	}
	v, err := d.parse(c.plain(cell, d), c.unitOf(cell), c.sign)
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

// halfWatt is how ratings are printed on parts.
var halfWatt = regexp.MustCompile(`^([0-9]{1,2})/([1-9][0-9]?)( ?[Ww](?:atts?)?)?$`)

// plain writes a number as any quantity is written: without the ± that limits
// have, and 1/2 W as 0.5 W.
func (c column) plain(cell string, d decimals) string {
	switch {
	case c.unit == quantity.Percent || c.signed():
		return strings.TrimSpace(strings.TrimPrefix(cell, "±"))
	case c.unit != quantity.Watt:
		return cell
	}
	m := halfWatt.FindStringSubmatch(cell)
	if m == nil {
		return cell
	}
	over, _ := strconv.ParseFloat(m[1], 64) // digits
	under, _ := strconv.ParseFloat(m[2], 64)
	return d.signs(strconv.FormatFloat(over/under, 'f', -1, 64)) + m[3]
}

// Rated tells which column a number belongs to whose unit says it: 0.5W, 350 V,
// ±5 %. Those of resistances are not among them.
func Rated(text string) (column string, is bool) {
	for _, c := range columns {
		if c.byUnit && c.number != nil {
			if _, err := quantity.ParseNamed(c.plain(text, decimals{}), quantity.AnySign, c.unit); err == nil {
				return c.name, true
			}
		}
	}
	return "", false
}

// unitOf is the unit of a cell: of a spool's ohms that of its wire.
func (c column) unitOf(cell string) quantity.Unit {
	if c.wire && perMetre(cell) {
		return quantity.OhmPerMetre
	}
	return c.unit
}

// perMetre tells whether a cell is of wire.
func perMetre(cell string) bool {
	return strings.HasSuffix(strings.ToLower(strings.TrimSpace(cell)), "/m")
}

// clear takes out what a part has in the column.
func (c column) clear(p *Part) {
	switch {
	case c.text != nil:
		*c.text(p) = ""
	case c.value != nil:
		*c.value(p) = quantity.Value{}
	default:
		*c.number(p) = math.NaN()
	}
	if c.signed() {
		p.TempcoSigned = false
	}
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
		return table.Guard(strings.TrimSpace(*c.text(&p)))
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
		return c.value(&a).Base == c.value(&b).Base && c.value(&a).Step == c.value(&b).Step && c.value(&a).Unit == c.value(&b).Unit
	}
	x, y := *c.number(&a), *c.number(&b)
	return (x == y || math.IsNaN(x) && math.IsNaN(y)) && (!c.signed() || a.TempcoSigned == b.TempcoSigned)
}
