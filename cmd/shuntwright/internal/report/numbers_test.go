package report

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"shuntwright/meter/quantity"
)

var nan = math.NaN()

// TestCells: the second digit of the limit is the last one shown (GUM 7.2.6: an
// uncertainty is quoted to two digits at most, and the estimate is rounded to
// agree with it), each threshold with the next float below; CSV has every digit,
// and nothing where nothing applies.
func TestCells(t *testing.T) {
	for _, test := range []struct {
		cell  Cell
		want  string
		exact float64
	}{
		{PercentError(0.0234, 0.52), "+0.02 %", 0.0234},
		{PercentError(-0.0234, 0.52), "-0.02 %", -0.0234},
		{PercentError(11.3789, 0.85), "+11.38 %", 11.3789},
		{PercentError(11.3789, 1), "+11.4 %", 11.3789},
		{PercentError(11.3789, math.Nextafter(1, 0)), "+11.38 %", 11.3789},
		{PercentError(11.3789, 10), "+11 %", 11.3789},
		{PercentError(11.3789, math.Nextafter(10, 0)), "+11.4 %", 11.3789},
		{PercentError(11.3789, 250), "+11 %", 11.3789},
		{PercentError(11.3789, 0.01), "+11.379 %", 11.3789},
		{PercentError(11.3789, 1e-9), "+11.3789 %", 11.3789},
		{PercentError(11.3789, 0), "+11.3789 %", 11.3789},
		{PercentError(11.3789, nan), "+11.38 %", 11.3789},
		{PercentError(0, 0.52), "0.00 %", 0},
		{PercentError(math.Copysign(0, -1), 0.52), "0.00 %", 0},
		{PercentError(-0.004, 0.52), "0.00 %", -0.004},
		{PercentError(0.004, 0.52), "0.00 %", 0.004},
		{PercentError(-0.4, 12), "0 %", -0.4},
		{PercentError(-0.006, 0.52), "-0.01 %", -0.006},
		{PercentError(nan, 0.52), "-", nan},

		{PercentSize(-0.481, 0.768), "0.48 %", 0.481}, // a magnitude has no sign
		{PercentSize(0.819, 0.0478), "0.819 %", 0.819},
		{PercentSize(0, 0.5), "0.00 %", 0},
		{PercentSize(-3, nan), "3.00 %", 3},
		{PercentSize(nan, 0.5), "-", nan},

		{PercentPair(0.819, 0.0478), "+0.819 ±0.048 %", 0.819}, // with the same last digit
		{PercentPair(-0.481, 0.768), "-0.48 ±0.77 %", -0.481},
		{PercentPair(-0.001, 0.768), "0.00 ±0.77 %", -0.001},
		{PercentPair(3, 12.3), "+3 ±12 %", 3},
		{PercentPair(3, nan), "+3.00 %", 3},
		{PercentPair(3, 0), "+3.0000 %", 3},
		{PercentPair(nan, 0.5), "-", nan},

		{PercentLimit(0.5234), "±0.52 %", 0.5234},
		{PercentLimit(1.0683), "±1.1 %", 1.0683},
		{PercentLimit(12.3), "±12 %", 12.3},
		{PercentLimit(0.0478), "±0.048 %", 0.0478},
		{PercentLimit(0), "±0.0000 %", 0},
		{PercentLimit(nan), "-", nan},

		{Quantity(0.99595, quantity.Ohm, 4), "996.0 mΩ", 0.99595},
		{Quantity(14901.4, quantity.Ohm, 4), "14.90 kΩ", 14901.4},
		{Quantity(0.0008874, quantity.Watt, 2), "890 µW", 0.0008874},
		{Quantity(nan, quantity.Ohm, 4), "-", nan},
	} {
		again, err := strconv.ParseFloat(test.cell.csv(), 64)
		same := err == nil && again == test.exact
		if math.IsNaN(test.exact) {
			same = test.cell.csv() == ""
		}
		if test.cell.Text != test.want || !same {
			t.Errorf("%q and in CSV %q, want %q of %v", test.cell.Text, test.cell.csv(), test.want, test.exact)
		}
	}
}

// TestNeverMinusZero looks at many numbers and limits for "-0", "-0.00" and a
// sign before nothing.
func TestNeverMinusZero(t *testing.T) {
	for exponent := -12; exponent <= 2; exponent++ {
		for _, digits := range []float64{-4.999, -5.001, -1, -9.99} {
			for _, limit := range []float64{1e-6, 0.003, 0.05, 0.5, 5, 50, nan} {
				shown := PercentError(digits*math.Pow(10, float64(exponent)), limit).Text
				if strings.HasPrefix(shown, "-") && !strings.ContainsAny(shown, "123456789") {
					t.Fatalf("%s", shown)
				}
			}
		}
	}
}

func TestSome(t *testing.T) {
	for x, is := range map[float64]bool{nan: false, math.Inf(1): false, math.Inf(-1): false, 0: true, -1.5: true, 1e300: true} {
		if got := Some(x); (got != nil) != is || is && *got != x {
			t.Errorf("Some(%v) = %v", x, got)
		}
	}
}
