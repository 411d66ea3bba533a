package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Format writes x, in unit, with the SI prefix that leaves one to three
// digits before the point, and with so many significant digits: "10.96 Ω",
// "50 mΩ", "4.70 kΩ". Fewer than 1 digit count as 1, more than 17 as 17.
// Degrees, percent, divisions and ppm/K take no prefix. What no prefix reaches
// is written with an exponent. NaN is "unknown", infinities are "infinite"
// and "minus infinite". With 17 digits Parse reads the same float64 back.
func Format(x float64, unit Unit, digits int) string {
	switch {
	case math.IsNaN(x):
		return "unknown"
	case math.IsInf(x, 1):
		return "infinite"
	case math.IsInf(x, -1):
		return "minus infinite"
	case x == 0:
		return strings.TrimSpace("0 " + string(unit))
	}
	digits = min(max(digits, 1), 17)
	mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(x, 'e', digits-1, 64), "e")
	power, _ := strconv.Atoi(exponent)
	third, symbol := 0, ""
	if about(unit).prefixed {
		third = int(math.Floor(float64(power)/3)) * 3
	}
	for _, p := range prefixes {
		if p.power == third {
			symbol = p.symbol
			break
		}
	}
	if power-third < -5 || power-third > 5 || third != 0 && symbol == "" {
		return strings.TrimSpace(mantissa + "e" + strconv.Itoa(power) + " " + string(unit))
	}
	return strings.TrimSpace(shift(mantissa, power-third) + " " + symbol + string(unit))
}

// shift moves the decimal point of a number with one digit before it, as
// text, so that nothing is rounded twice.
func shift(mantissa string, places int) string {
	minus := ""
	if strings.HasPrefix(mantissa, "-") {
		minus, mantissa = "-", mantissa[1:]
	}
	digits := strings.Replace(mantissa, ".", "", 1)
	if places < 0 {
		return minus + "0." + strings.Repeat("0", -places-1) + digits
	}
	if len(digits) <= places+1 {
		return minus + digits + strings.Repeat("0", places+1-len(digits))
	}
	return minus + digits[:places+1] + "." + digits[places+1:]
}

// Digits returns how many significant digits x has down to the digit whose
// weight is step: 4 for 10.91 and 0.01, 2 for 4700 and 100. It is what Format
// asks for, so that a value shows neither more digits than it was read with
// nor fewer. At least 1; 1 too for zero, and where x or step is not a finite
// number and step not positive.
func Digits(x, step float64) int {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) || !(step > 0) || math.IsInf(step, 0) {
		return 1
	}
	leading, _ := strconv.Atoi(exponentOf(x))
	last, _ := strconv.Atoi(exponentOf(step))
	return min(max(leading-last+1, 1), 17)
}

// exponentOf returns the decimal exponent of x by way of its shortest text,
// where math.Log10 could miss by one.
func exponentOf(x float64) string {
	_, exponent, _ := strings.Cut(strconv.FormatFloat(x, 'e', -1, 64), "e")
	return exponent
}
