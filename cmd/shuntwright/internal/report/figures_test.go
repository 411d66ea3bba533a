package report

import (
	"math"
	"testing"

	"shuntwright/meter/quantity"
)

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
