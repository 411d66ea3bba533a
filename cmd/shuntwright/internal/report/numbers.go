package report

import (
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
