package inventory

import (
	"strconv"
	"strings"

	"shuntwright/meter/quantity"
)

// decimals tells how a file writes its decimal fractions.
type decimals struct {
	comma  bool // with commas, all of them
	strict bool // what is added must be written as all the rest is
}

// inUnit gives a number that stands for itself the unit that the name of its
// column says.
func (d decimals) inUnit(text, unit string) string {
	if unit == "" {
		return text
	}
	if _, err := d.parse(text, quantity.Number, quantity.AnySign); err != nil {
		return text
	}
	return text + " " + unit
}

// outOfUnit gives a number its own unit where the file would take it for
// another by the unit in the name of its column.
func (d decimals) outOfUnit(text, unit string, own quantity.Unit) string {
	is, err := d.parse(text, own, quantity.AnySign)
	if err != nil { // no number
		return text
	}
	if read, err := d.parse(d.inUnit(text, unit), own, quantity.AnySign); err == nil && read.Base == is.Base {
		return text
	}
	return text + " " + string(own)
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

// saysUnit tells whether a cell is taken for what it is: wire says so itself.
func saysUnit(text string, unit quantity.Unit) bool {
	return unit != quantity.OhmPerMetre || perMetre(text)
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
		if again, err := d.parse(text, v.Unit, sign); err == nil && again.Base == v.Base && saysUnit(text, v.Unit) {
			return text
		}
	}
	text := d.signs(strconv.FormatFloat(v.Base, 'f', -1, 64))
	if v.Unit == quantity.OhmPerMetre {
		text += " ohm/m"
	}
	return text
}
