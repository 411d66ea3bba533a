package report

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"shuntwright/meter/quantity"
)

var nan = math.NaN()

// TestPercentError: the second digit of the limit is the last one shown (GUM
// 7.2.6: an uncertainty is quoted to two digits at most, and the estimate is
// rounded to agree with it). Each threshold comes with the next float below.
func TestPercentError(t *testing.T) {
	for _, test := range []struct {
		percent, limit float64
		want           string
	}{
		{0.0234, 0.52, "+0.02 %"},
		{-0.0234, 0.52, "-0.02 %"},
		{11.3789, 0.85, "+11.38 %"},
		{11.3789, 1, "+11.4 %"},
		{11.3789, math.Nextafter(1, 0), "+11.38 %"},
		{11.3789, 10, "+11 %"},
		{11.3789, math.Nextafter(10, 0), "+11.4 %"},
		{11.3789, 250, "+11 %"},
		{11.3789, 0.01, "+11.379 %"},
		{11.3789, 1e-9, "+11.3789 %"},
		{11.3789, 0, "+11.3789 %"},
		{11.3789, nan, "+11.38 %"},
		{0, 0.52, "0.00 %"},
		{math.Copysign(0, -1), 0.52, "0.00 %"},
		{-0.004, 0.52, "0.00 %"},
		{0.004, 0.52, "0.00 %"},
		{-0.4, 12, "0 %"},
		{-0.006, 0.52, "-0.01 %"},
		{nan, 0.52, "-"},
	} {
		cell := PercentError(test.percent, test.limit)
		if cell.Text != test.want {
			t.Errorf("%v within %v: %q, want %q", test.percent, test.limit, cell.Text, test.want)
		}
		checkExact(t, cell, test.percent)
	}
}

// checkExact wants every digit of x in CSV, and nothing where x is NaN.
func checkExact(t *testing.T, cell Cell, x float64) {
	t.Helper()
	if math.IsNaN(x) {
		if cell.csv() != "" {
			t.Errorf("%q in CSV for what does not apply", cell.csv())
		}
		return
	}
	if again, err := strconv.ParseFloat(cell.csv(), 64); err != nil || again != x {
		t.Errorf("CSV holds %q for %v", cell.csv(), x)
	}
}

// TestPercentSize: a magnitude has no sign, neither on paper nor in CSV.
func TestPercentSize(t *testing.T) {
	for _, test := range []struct {
		percent, limit float64
		want           string
	}{
		{-0.481, 0.768, "0.48 %"}, {0.819, 0.0478, "0.819 %"}, {0, 0.5, "0.00 %"}, {-3, nan, "3.00 %"}, {nan, 0.5, "-"},
	} {
		cell := PercentSize(test.percent, test.limit)
		if cell.Text != test.want {
			t.Errorf("%v within %v: %q, want %q", test.percent, test.limit, cell.Text, test.want)
		}
		checkExact(t, cell, math.Abs(test.percent))
	}
}

// TestPercentPair: error and limit stand with the same last digit.
func TestPercentPair(t *testing.T) {
	for _, test := range []struct {
		percent, limit float64
		want           string
	}{
		{0.819, 0.0478, "+0.819 ±0.048 %"},
		{-0.481, 0.768, "-0.48 ±0.77 %"},
		{-0.001, 0.768, "0.00 ±0.77 %"},
		{3, 12.3, "+3 ±12 %"},
		{3, nan, "+3.00 %"},
		{3, 0, "+3.0000 %"},
		{nan, 0.5, "-"},
	} {
		cell := PercentPair(test.percent, test.limit)
		if cell.Text != test.want {
			t.Errorf("%v ± %v: %q, want %q", test.percent, test.limit, cell.Text, test.want)
		}
		checkExact(t, cell, test.percent)
	}
}

func TestPercentLimit(t *testing.T) {
	for _, test := range []struct {
		limit float64
		want  string
	}{
		{0.5234, "±0.52 %"}, {1.0683, "±1.1 %"}, {12.3, "±12 %"}, {0.0478, "±0.048 %"}, {0, "±0.0000 %"}, {nan, "-"},
	} {
		cell := PercentLimit(test.limit)
		if cell.Text != test.want {
			t.Errorf("%v: %q, want %q", test.limit, cell.Text, test.want)
		}
		checkExact(t, cell, test.limit)
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

func TestQuantity(t *testing.T) {
	for _, test := range []struct {
		x      float64
		unit   quantity.Unit
		digits int
		want   string
	}{
		{0.99595, quantity.Ohm, 4, "996.0 mΩ"},
		{14901.4, quantity.Ohm, 4, "14.90 kΩ"},
		{0.0008874, quantity.Watt, 2, "890 µW"},
		{nan, quantity.Ohm, 4, "-"},
	} {
		cell := Quantity(test.x, test.unit, test.digits)
		if cell.Text != test.want {
			t.Errorf("%v: %q, want %q", test.x, cell.Text, test.want)
		}
		checkExact(t, cell, test.x)
	}
}

func TestSome(t *testing.T) {
	for _, x := range []float64{nan, math.Inf(1), math.Inf(-1)} {
		if Some(x) != nil {
			t.Errorf("Some(%v) is something", x)
		}
	}
	for _, x := range []float64{0, -1.5, 1e300} {
		if got := Some(x); got == nil || *got != x {
			t.Errorf("Some(%v) = %v", x, got)
		}
	}
}
