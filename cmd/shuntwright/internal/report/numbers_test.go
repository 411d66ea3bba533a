package report

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

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

// TestByLimit: a value within 1 % shows four digits, at most six, at least three.
func TestByLimit(t *testing.T) {
	for _, test := range []struct {
		limit float64
		want  int
	}{
		{math.NaN(), 4}, {0, 4}, {-1, 4}, {250, 3}, {10, 3}, {1, 3}, {math.Nextafter(1, 0), 4}, {0.77, 4}, {0.1, 4},
		{0.0999, 5}, {0.05, 5}, {0.001, 6}, {1e-12, 6},
	} {
		if got := ByLimit(test.limit); got != test.want {
			t.Errorf("ByLimit(%v) = %d, want %d", test.limit, got, test.want)
		}
	}
}

// TestShort: as few digits as read back to the value, and no fewer.
func TestShort(t *testing.T) {
	for x, want := range map[float64]string{
		0.0025:      "2.5 mA",
		0.01:        "10 mA",
		1.23456e-3:  "1.23456 mA",
		0.1 + 0.2:   "300.00000000000004 mA",
		5:           "5 A",
		0.000000125: "125 nA",
	} {
		got := Short(x, quantity.Ampere)
		if v, err := quantity.Parse(got, quantity.Ampere, quantity.Positive); err != nil || math.Abs(v.Base-x) > 1e-15*x {
			t.Errorf("%v: %q is read as %v, %v", x, got, v.Base, err)
		}
		if got != want && x != 0.1+0.2 {
			t.Errorf("%v: %q, want %q", x, got, want)
		}
	}
}

// TestTypedDigits: what was typed to three digits is shown with three, and a
// target with one more than the coil.
func TestTypedDigits(t *testing.T) {
	for text, want := range map[string][2]int{"98.6 ohm": {3, 4}, "98.60 ohm": {4, 5}, "5": {3, 4}, "24.651234 ohm": {8, 6}, "1.2k": {3, 4}} {
		v, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
		if err != nil {
			t.Fatal(err)
		}
		if got := [2]int{Typed(v), Target(v)}; got != want {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
	}
}

func TestSpelled(t *testing.T) {
	for _, test := range []struct{ got, want string }{
		{Spelled(11.4934, 4), "11.49 ohm"},
		{Spelled(4.7e3, 2), "4.7 kohm"},
		{Signed(0.5, quantity.Division, 2), "+0.50 div"},
		{Signed(-0.5, quantity.Division, 2), "-0.50 div"},
	} {
		if test.got != test.want {
			t.Errorf("%q, want %q", test.got, test.want)
		}
	}
}

// A bound is only ever said to be less than it is.
func TestBelow(t *testing.T) {
	for x, want := range map[float64]float64{0.0009653: 0.00096, 0.0009699: 0.00096, 1.05: 1, 1.1: 1.1, 0.999: 0.99, 100.4: 100, 9.96e-7: 9.9e-7, 0: 0, 37: 37} {
		if got := Below(x); got != want {
			t.Errorf("below %v: %v, want %v", x, got, want)
		}
	}
	if got := Below(math.NaN()); !math.IsNaN(got) {
		t.Error(got)
	}
}

// TestBar: the middle is zero, the ends are what is allowed; where the error
// lies behind an end an arrowhead stands in its place.
func TestBar(t *testing.T) {
	nan := math.NaN()
	for _, test := range []struct {
		percent, limit, allowed float64
		want                    string
	}{
		{0, 0, 2.5, "├────●────┤"},
		{1.25, 0.5, 2.5, "├────┼─━●━┤"},
		{-1, nan, 2.5, "├──●─┼────┤"},
		{2.5, 0, 2.5, "├────┼────●"},
		{-2.5, 0, 2.5, "●────┼────┤"},
		{math.Nextafter(2.5, 3), 0, 2.5, "├────┼────▶"},
		{math.Nextafter(-2.5, -3), 1, 2.5, "◀━━──┼────┤"},
		{1e300, 1e300, 2.5, "├────━━━━━▶"},
		{0.1, 100, 1, "├━━━━━●━━━┤"},
		{nan, 1, 2.5, ""},
		{1, 1, nan, ""},
		{1, 1, 0, ""},
		{1, 1, math.Inf(1), ""},
	} {
		cell := Bar(test.percent, test.limit, test.allowed)
		if cell.Text != test.want || !cell.Silent {
			t.Errorf("%v ± %v of %v: %q, want %q", test.percent, test.limit, test.allowed, cell.Text, test.want)
		}
	}
}

// TestPlainBars: without UTF-8 a bar is as wide, and of ASCII only; it stands in
// no CSV.
func TestPlainBars(t *testing.T) {
	doc := Document{Tables: []Table{{Name: "t", Columns: []Column{{Title: "name", Key: "name"}, {Title: BarTitle(2.5)}, {Title: "x", Key: "x"}},
		Rows: [][]Cell{{Words("a"), Bar(-3, 1, 2.5), Words("1")}, {Words("b"), Bar(1, 1, 2.5), Words("2")}}}}}
	drawn, _ := render(t, doc, Style{Format: "table", Width: 80})
	ascii, _ := render(t, doc, Style{Format: "table", Width: 80, Plain: true})
	if !strings.Contains(drawn, "a     ◀━───┼────┤  1\n") || !strings.Contains(ascii, "a     <=---+----|  1\nb     |----==o==|  2\n") {
		t.Errorf("%s\n%s", drawn, ascii)
	}
	if utf8.RuneCountInString(drawn) != utf8.RuneCountInString(ascii) {
		t.Errorf("not as wide:\n%s\n%s", drawn, ascii)
	}
	if out, _ := render(t, doc, Style{Format: "csv"}); out != "name,x\na,1\nb,2\n" {
		t.Errorf("CSV: %s", out)
	}
}
