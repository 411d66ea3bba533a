package quantity

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func TestFormat(t *testing.T) {
	tests := []struct {
		x      float64
		unit   Unit
		digits int
		want   string
	}{
		{10.957, Ohm, 4, "10.96 Ω"},
		{0.05, Ohm, 2, "50 mΩ"},
		{0.05, Ohm, 4, "50.00 mΩ"},
		{50e6, Ohm, 2, "50 MΩ"},
		{4700, Ohm, 2, "4.7 kΩ"},
		{4700, Ohm, 3, "4.70 kΩ"},
		{-4700, Ohm, 2, "-4.7 kΩ"},
		{1, Volt, 1, "1 V"},
		{123, Ohm, 1, "100 Ω"},
		{50e-6, Ampere, 2, "50 µA"},
		{1e-9, Ampere, 3, "1.00 nA"},
		{1e-12, Ampere, 3, "1.00 pA"},
		{2.2e9, Ohm, 2, "2.2 GΩ"},
		{2.2e12, Ohm, 2, "2.2 TΩ"},
		{0, Ohm, 3, "0 Ω"},
		{math.Copysign(0, -1), Ohm, 3, "0 Ω"},
		{1e-15, Ampere, 2, "1.0e-15 A"},
		{2e15, Ohm, 1, "2e15 Ω"},
		{0.0123, Percent, 3, "0.0123 %"},
		{0.0123, Ohm, 0, "10 mΩ"},
		{1250, PPMPerKelvin, 3, "1250 ppm/K"},
		{1.5e6, Percent, 2, "1.5e6 %"},
		{20.5, Celsius, 3, "20.5 °C"},
		{0.2, Division, 1, "0.2 div"},
		{2, Number, 1, "2"},
		{0, Number, 1, "0"},
		{1.0 / 3, Ohm, 99, "333.33333333333331 mΩ"},
		{math.NaN(), Ohm, 3, "unknown"},
		{math.Inf(1), Ohm, 3, "infinite"},
		{math.Inf(-1), Ohm, 3, "minus infinite"},
		// The prefix is chosen after rounding: 1.000 kΩ, not 1000 Ω. And the
		// next float64 below a half rounds down.
		{999.95, Ohm, 4, "1.000 kΩ"},
		{math.Nextafter(999.5, 0), Ohm, 3, "999 Ω"},
		{999.5, Ohm, 3, "1.00 kΩ"}, // 999.5 is exact, and ties go to the even digit
		{math.Nextafter(0.9995, 0), Volt, 3, "999 mV"},
		{math.Nextafter(1000, 0), Ohm, 17, "999.99999999999989 Ω"},
		{1000, Ohm, 17, "1.0000000000000000 kΩ"},
	}
	for _, test := range tests {
		if got := Format(test.x, test.unit, test.digits); got != test.want {
			t.Errorf("Format(%v, %q, %d) = %q, want %q", test.x, test.unit, test.digits, got, test.want)
		}
	}
}

// Every prefix that Format writes, Parse reads as the same power: so no milli
// becomes a mega anywhere in between.
func TestFormatParsesBack(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 4000 {
		x := math.Pow(10, -23+46*random.Float64())
		if random.IntN(2) == 0 {
			x = -x
		}
		for _, unit := range []Unit{Ohm, Ampere, Celsius, Percent} {
			text := Format(x, unit, 17)
			v, err := Parse(text, unit, AnySign)
			if err != nil || v.Base != x {
				t.Fatalf("Format(%v) = %q, which is %v, %v", x, text, v.Base, err)
			}
			digits := 1 + random.IntN(8)
			short, err := Parse(Format(x, unit, digits), unit, AnySign)
			if err != nil || math.Abs(short.Base/x-1) > 5.0001*math.Pow(10, -float64(digits)) {
				t.Fatalf("Format(%v, %d) = %q", x, digits, Format(x, unit, digits))
			}
		}
	}
}

func TestDigits(t *testing.T) {
	for text, want := range map[string]int{
		"10.91": 4, "4.7k": 2, "4k7": 2, "4k70": 3, "0.0050": 2, "1e3": 1, "1000": 4, "0.001": 1, "R47": 2, "50 mΩ": 2, "999.9": 4,
	} {
		v, err := Parse(text, Ohm, Positive)
		if err != nil {
			t.Fatal(err)
		}
		if got := Digits(v.Base, v.Step); got != want {
			t.Errorf("Digits of %q = %d, want %d", text, got, want)
		}
		again, err := Parse(Format(v.Base, Ohm, Digits(v.Base, v.Step)), Ohm, Positive)
		if err != nil || again.Base != v.Base || strings.Contains(text, ".") && again.Step != v.Step {
			t.Errorf("%q shown with its digits is %+v, %v", text, again, err)
		}
	}
	nan, inf := math.NaN(), math.Inf(1)
	for _, test := range [][2]float64{{0, 1}, {nan, 1}, {inf, 1}, {1, 0}, {1, -1}, {1, nan}, {1, inf}, {1, 1000}} {
		if got := Digits(test[0], test[1]); got != 1 {
			t.Errorf("Digits(%v, %v) = %d, want 1", test[0], test[1], got)
		}
	}
	if got := Digits(1, 1e-30); got != 17 {
		t.Errorf("Digits(1, 1e-30) = %d, want 17", got)
	}
}
