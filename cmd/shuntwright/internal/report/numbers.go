package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"shuntwright/meter/quantity"
)

// Exact is x with every digit that it takes to read it back, for CSV; empty
// for NaN.
func Exact(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}

// decimals are the digits after the point that a limit lets stand: the second
// digit of the limit is the last one that says anything.
func decimals(limit float64, most int) int {
	if math.IsNaN(limit) || limit <= 0 {
		return most
	}
	return min(max(1-int(math.Floor(math.Log10(limit))), 0), most)
}

// PercentError is a signed percentage as honest as its limit, both in percent:
// "+0.02 %". A NaN limit gives two decimals.
func PercentError(percent, limit float64) Cell {
	if math.IsNaN(percent) {
		return None()
	}
	if math.IsNaN(limit) {
		limit = 0.1
	}
	shown := strconv.FormatFloat(percent, 'f', decimals(limit, 4), 64)
	return Pair(signed(shown)+" %", Exact(percent))
}

// PercentSize is the magnitude of an error, as honest as its limit.
func PercentSize(percent, limit float64) Cell {
	cell := PercentError(math.Abs(percent), limit)
	cell.Text = strings.TrimPrefix(cell.Text, "+")
	return cell
}

// PercentPair is an error with its limit beside it in one cell: "+0.02 ±0.52 %".
func PercentPair(percent, limit float64) Cell {
	if math.IsNaN(percent) || math.IsNaN(limit) || limit == 0 {
		return PercentError(percent, limit)
	}
	places := decimals(limit, 4)
	shown := signed(strconv.FormatFloat(percent, 'f', places, 64)) + " ±" + strconv.FormatFloat(limit, 'f', places, 64)
	return Pair(shown+" %", Exact(percent))
}

// signed puts a plus before what is positive, and no sign before zero.
func signed(number string) string {
	switch {
	case strings.Trim(number, "-0.") == "":
		return strings.TrimPrefix(number, "-")
	case strings.HasPrefix(number, "-"):
		return number
	}
	return "+" + number
}

// PercentLimit is a half-width in percent: "±0.52 %".
func PercentLimit(percent float64) Cell {
	if math.IsNaN(percent) {
		return None()
	}
	return Pair("±"+strconv.FormatFloat(percent, 'f', decimals(percent, 4), 64)+" %", Exact(percent))
}

// Quantity is x in its unit with a prefix and so many significant digits.
func Quantity(x float64, unit quantity.Unit, digits int) Cell {
	if math.IsNaN(x) {
		return None()
	}
	return Pair(quantity.Format(x, unit, digits), Exact(x))
}

// Maybe is a number that may not apply: nil leaves its field out of the JSON.
type Maybe = *float64

// Some makes a Maybe of x: nil for NaN and infinities, which JSON cannot hold.
func Some(x float64) Maybe {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// Number is what a Maybe holds, NaN where it does not apply.
func Number(x Maybe) float64 {
	if x == nil {
		return math.NaN()
	}
	return *x
}

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

// barHalf is how many columns of a bar lie on either side of its middle.
const barHalf = 5

// Bar pictures an error with its limit between minus and plus the largest error
// allowed, all in percent: ├───━●━──┼─────┤, the limit being the heavy part of
// the line. An error beyond what is allowed is an arrowhead in place of the end
// that it lies behind. The cell is empty where the error is NaN or nothing above
// zero is allowed; a NaN limit draws none. It is for a column without a Key.
func Bar(percent, limit, allowed float64) Cell {
	if math.IsNaN(percent) || !(allowed > 0) || math.IsInf(allowed, 0) {
		return Cell{Silent: true}
	}
	at := func(x float64) int { return int(math.Round(max(min(x/allowed, 2), -2) * barHalf)) }
	bar := []rune("├" + strings.Repeat("─", barHalf-1) + "┼" + strings.Repeat("─", barHalf-1) + "┤")
	for i := max(at(percent-limit), 1-barHalf); limit > 0 && i <= min(at(percent+limit), barHalf-1); i++ {
		bar[barHalf+i] = '━'
	}
	switch middle := min(max(at(percent), -barHalf), barHalf); {
	case percent > allowed:
		bar[2*barHalf] = '▶'
	case percent < -allowed:
		bar[0] = '◀'
	default:
		bar[barHalf+middle] = '●'
	}
	return Cell{Text: string(bar), Silent: true}
}

// BarTitle stands above bars of one class, in percent: what their ends are.
func BarTitle(class float64) string { return fmt.Sprintf("±%g %%", class) }
