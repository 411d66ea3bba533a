package report

import (
	"math"
	"strconv"
	"strings"

	"shuntwright/meter/quantity"
)

// Typed are the significant digits that a value was typed with, at least three
// and at most nine; four where nobody typed it.
func Typed(v quantity.Value) int {
	if !(v.Step > 0) || !(v.Base > 0) {
		return 4
	}
	return min(max(int(math.Floor(math.Log10(v.Base)+1e-9)-math.Round(math.Log10(v.Step)))+1, 3), 9)
}

// Target are the significant digits that a target carries: one more than the
// coil was typed with, at least four and at most six.
func Target(coil quantity.Value) int { return min(max(Typed(coil)+1, 4), 6) }

// Spelled writes a resistance in ohms, with so many significant digits, so that
// a keyboard has every sign of it.
func Spelled(x float64, digits int) string {
	return strings.NewReplacer("Ω", "ohm", "µ", "u").Replace(quantity.Format(x, quantity.Ohm, digits))
}

// Signed is quantity.Format with a plus before what is positive.
func Signed(x float64, unit quantity.Unit, digits int) string {
	if x > 0 {
		return "+" + quantity.Format(x, unit, digits)
	}
	return quantity.Format(x, unit, digits)
}

// ByLimit tells how many significant digits of a value its relative limit, in
// percent, lets stand: at least three, at most six. NaN gives four.
func ByLimit(limitPercent float64) int {
	if math.IsNaN(limitPercent) || limitPercent <= 0 {
		return 4
	}
	return min(max(3-int(math.Floor(math.Log10(limitPercent))), 3), 6)
}

// Short writes a quantity with as few digits as read back to it, to within
// rounding.
func Short(x float64, unit quantity.Unit) string {
	text := ""
	for digits := 1; digits <= 17; digits++ {
		text = quantity.Format(x, unit, digits)
		if v, err := quantity.Parse(text, unit, quantity.AnySign); err == nil && math.Abs(v.Base-x) <= 1e-15*math.Abs(x) {
			break
		}
	}
	return text
}

// Below rounds a positive figure down to two significant digits, so that what
// is said never to get below it does not; what is not positive stays.
func Below(x float64) float64 {
	if !(x > 0) {
		return x
	}
	out, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 1, 64), 64)
	if step := math.Pow10(int(math.Floor(math.Log10(x))) - 1); err == nil && out > x {
		out, err = strconv.ParseFloat(strconv.FormatFloat(out-step, 'e', 1, 64), 64)
	}
	if err != nil {
		return x
	}
	return out
}
