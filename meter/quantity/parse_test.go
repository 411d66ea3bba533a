package quantity

import (
	"math"
	"strings"
	"testing"
)

// Published rows: the letter and digit code of IEC 60062 as tabulated in
// encyclopaedia pages ("RKM code") and a laboratory's page on IEC 60062.
func TestPublishedLetterCodes(t *testing.T) {
	for text, ohms := range map[string]float64{
		"R47": 0.47, "4R7": 4.7, "470R": 470, "4K7": 4700,
		"47K": 47e3, "47K3": 47.3e3, "470K": 470e3, "4M7": 4.7e6,
	} {
		v, err := Parse(text, Ohm, Positive)
		if err != nil || v.Base != ohms || v.Unit != Ohm {
			t.Errorf("Parse(%q) = %+v, %v, want %g Ω", text, v, err, ohms)
		}
	}
}

// parsed are texts and what they say in their unit.
var parsed = []struct {
	text  string
	want  Unit
	base  float64
	step  float64
	named bool
}{
	{"98.6", Ohm, 98.6, 0.1, false},
	{"98.6 ohm", Ohm, 98.6, 0.1, true},
	{"98.60 ohm", Ohm, 98.6, 0.01, true},
	{"98.6 Ω", Ohm, 98.6, 0.1, true},      // U+03A9
	{"98.6\u2126", Ohm, 98.6, 0.1, true},  // U+2126
	{"98.6\u00a0Ω", Ohm, 98.6, 0.1, true}, // a space that does not break
	{"  98.6 Ohms\t", Ohm, 98.6, 0.1, true},
	{"4.7k", Ohm, 4700, 100, false},
	{"4.7K", Ohm, 4700, 100, false},
	{"4.7 kohm", Ohm, 4700, 100, true},
	{"4.7 k ohm", Ohm, 4700, 100, true},
	{"50 mΩ", Ohm, 0.05, 0.001, true},
	{"50 mohm", Ohm, 0.05, 0.001, true},
	{"50 Mohm", Ohm, 50e6, 1e6, true},
	{"50 MOHM", Ohm, 50e6, 1e6, true},
	{"50m", Ohm, 0.05, 0.001, false},
	{"50M", Ohm, 50e6, 1e6, false},
	{"4k7", Ohm, 4700, 100, true},
	{"4k70", Ohm, 4700, 10, true},
	{"1M2", Ohm, 1.2e6, 1e5, true},
	{"1m2", Ohm, 0.0012, 0.0001, true},
	{"4L7", Ohm, 0.0047, 0.0001, true}, // L as a thousandth: from memory
	{"1G5", Ohm, 1.5e9, 1e8, true},     // G and T: from memory
	{"1T5", Ohm, 1.5e12, 1e11, true},
	{"R005", Ohm, 0.005, 0.001, true},
	{"4r7", Ohm, 4.7, 0.1, true},
	{"4.7R", Ohm, 4.7, 0.1, true},
	{"4R7 ohm", Ohm, 4.7, 0.1, true},
	{"4k7Ω", Ohm, 4700, 100, true},
	{"4,7k", Ohm, 4700, 100, false},
	{"4,7", Ohm, 4.7, 0.1, false},
	{"4,70", Ohm, 4.7, 0.01, false},
	{"4,7000", Ohm, 4.7, 0.0001, false},
	{"0,470", Ohm, 0.47, 0.001, false},        // no thousand begins with 0
	{"1234,567", Ohm, 1234.567, 0.001, false}, // nor has four digits before its comma
	{",470", Ohm, 0.47, 0.001, false},
	{".5", Ohm, 0.5, 0.1, false},
	{"5.", Ohm, 5, 1, false},
	{"1e3", Ohm, 1000, 1000, false},
	{"1.50e3", Ohm, 1500, 10, false},
	{"1.5E+3 ohm", Ohm, 1500, 100, true},
	{"1.5e-3k", Ohm, 1.5, 0.1, false},
	{"1 mA", Ampere, 0.001, 0.001, true},
	{"50uA", Ampere, 50e-6, 1e-6, true},
	{"50 µA", Ampere, 50e-6, 1e-6, true}, // U+00B5
	{"50 μA", Ampere, 50e-6, 1e-6, true}, // U+03BC
	{"10ma", Ampere, 0.01, 0.001, true},
	{"5 amps", Ampere, 5, 1, true},
	{"3 pA", Ampere, 3e-12, 1e-12, true},
	{"3 nA", Ampere, 3e-9, 1e-9, true},
	{"300V", Volt, 300, 1, true},
	{"300 volts", Volt, 300, 1, true},
	{"1.5 kV", Volt, 1500, 100, true},
	{"1.5 KV", Volt, 1500, 100, true},
	{"0.25 W", Watt, 0.25, 0.01, true},
	{"20 °C", Celsius, 20, 1, true},
	{"20C", Celsius, 20, 1, true},
	{"20.5 ℃", Celsius, 20.5, 0.1, true},
	{"2.5 %", Percent, 2.5, 0.1, true},
	{"2.5%", Percent, 2.5, 0.1, true},
	{"30.0 div", Division, 30, 0.1, true},
	{"50 ppm/K", PPMPerKelvin, 50, 1, true},
	{"50 ppm/°C", PPMPerKelvin, 50, 1, true},
	{"1", Number, 1, 1, false},
	{"43.3 mm", Metre, 0.0433, 0.0001, true},
	{"5 m", Metre, 5, 1, true},
	{"5m", Metre, 5, 1, true},
	{"0,25mm", Metre, 0.00025, 0.00001, true},
	{"2 metres", Metre, 2, 1, true},
	{"3", Metre, 3, 1, false},
	{"5 m", Ohm, 0.005, 0.001, false},
	{"9.98 ohm/m", OhmPerMetre, 9.98, 0.01, true},
	{"9.98 mΩ/m", OhmPerMetre, 0.00998, 0.00001, true},
	// One rounding: the float64 nearest to the decimal text, not to a
	// product with 1e-6.
	{"355.555555555555556 uA", Ampere, 355.555555555555556e-6, 1e-21, true},
}

func TestParse(t *testing.T) {
	for _, test := range parsed {
		v, err := Parse(test.text, test.want, Positive)
		if err != nil {
			t.Errorf("Parse(%q): %v", test.text, err)
			continue
		}
		want := Value{strings.TrimSpace(test.text), test.base, test.want, test.step, test.named}
		if v != want {
			t.Errorf("Parse(%q) = %+v, want %+v", test.text, v, want)
		}
	}
}

func TestParseSigns(t *testing.T) {
	for text, base := range map[string]float64{"-5 °C": -5, "−5 °C": -5, "+5": 5, "0": 0, "-0": 0, "-4.5e1": -45} {
		v, err := Parse(text, Celsius, AnySign)
		if err != nil || v.Base != base || math.Signbit(v.Base) != (base < 0) {
			t.Errorf("Parse(%q) = %+v, %v, want %g", text, v, err, base)
		}
	}
	if _, err := Parse("-5", Ohm, NotNegative); err == nil || !strings.Contains(err.Error(), "is negative; a resistance of zero or more") {
		t.Errorf("Parse(-5): %v", err)
	}
	for _, text := range []string{"0 ohm", "-0", "0.00"} {
		if v, err := Parse(text, Ohm, NotNegative); err != nil || v.Base != 0 {
			t.Errorf("Parse(%q) = %+v, %v, want 0", text, v, err)
		}
	}
}

func TestParseComma(t *testing.T) {
	for text, want := range map[string]float64{
		"4,700": 4.7, "4,7k": 4700, "1234,5": 1234.5, "4.7": 4.7, "0.470": 0.47, "4k7": 4700, "10": 10, "5,": 5, "1,5e3": 1500,
	} {
		if v, err := ParseComma(text, Ohm, Positive); err != nil || v.Base != want {
			t.Errorf("ParseComma(%q) = %+v, %v, want %g", text, v, err, want)
		}
	}
	for text, says := range map[string]string{
		"4.700": "4,700 or 4700", "5.": "ends its number", "1.234,5": "no signs between thousands",
	} {
		if _, err := ParseComma(text, Ohm, Positive); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("ParseComma(%q): %v, want it to say %q", text, err, says)
		}
	}
}

func TestParseNamed(t *testing.T) {
	for text, unit := range map[string]Unit{"50 mA": Ampere, "300V": Volt} {
		if v, err := ParseNamed(text, Positive, Ampere, Volt); err != nil || v.Unit != unit || !v.Named {
			t.Errorf("ParseNamed(%q) = %+v, %v, want %s", text, v, err, unit)
		}
	}
	for text, says := range map[string]string{
		"50":     "has no unit; a current or a voltage above zero belongs here, such as 50 mA or 300 V",
		"50m":    "has no unit",
		"50 ohm": "is a resistance",
		"4k7":    "is a letter code",
	} {
		if _, err := ParseNamed(text, Positive, Ampere, Volt); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("ParseNamed(%q): %v, want it to say %q", text, err, says)
		}
	}
}

// m and M are three prefixes apart and never taken for one another, whatever
// case the unit is in.
func TestMilliIsNeverMega(t *testing.T) {
	for _, unit := range []string{"", "ohm", "Ohm", "OHM", "ohms", "Ω", "\u2126", " ohm", " Ω"} {
		for _, number := range []string{"1", "50", "0.3"} {
			milli, err1 := Parse(number+"m"+unit, Ohm, Positive)
			mega, err2 := Parse(number+"M"+unit, Ohm, Positive)
			if err1 != nil || err2 != nil || math.Abs(mega.Base/milli.Base/1e9-1) > 1e-12 {
				t.Errorf("%s with %q: %g and %g, %v, %v", number, unit, milli.Base, mega.Base, err1, err2)
			}
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{"98.6 ohm", "4k7", "R47", "470R", "4,7k", "4,700", "1,234,567", "50 µA", "-5", "1e-24", "0x1p4", "4.7\x00", "−0,5 %", "1.5e-3 k"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, unit := range []Unit{Ohm, Ampere, Percent, Number} {
			for _, parse := range []func(string, Unit, Sign) (Value, error){Parse, ParseComma} {
				v, err := parse(text, unit, AnySign)
				if err != nil {
					if strings.Contains(err.Error(), "\n") {
						t.Fatalf("%q: an error of more than one line: %q", text, err)
					}
					continue
				}
				if math.IsNaN(v.Base) || math.IsInf(v.Base, 0) || !(v.Step > 0) || v.Unit != unit {
					t.Fatalf("%q is %+v", text, v)
				}
				shown := Format(v.Base, unit, 17)
				if again, err := Parse(shown, unit, AnySign); err != nil || again.Base != v.Base {
					t.Fatalf("%q is %g, shown as %q, which is %g, %v", text, v.Base, shown, again.Base, err)
				}
			}
		}
	})
}
