package quantity

import (
	"strings"
	"testing"
)

// refused are texts that are no resistance, and what is said of them besides
// quoting them.
var refused = []struct {
	text string
	says string // besides the quoted text
}{
	{"", "holds no quantity"},
	{"   ", "holds no quantity"},
	{"abc", "does not begin with a number"},
	{"NaN", "does not begin with a number"},
	{"nan ohm", "does not begin with a number"},
	{"Inf", "does not begin with a number"},
	{"-inf", "does not begin with a number"},
	{"∞", "does not begin with a number"},
	{"ohm", "does not begin with a number"},
	{"R", "does not begin with a number"},
	{"RA7", "neither a prefix nor a unit"},
	{"k47", "does not begin with a number"}, // only R leads a code
	{"--5", "does not begin with a number"},
	{".", "does not begin with a number"},
	{"４７", "does not begin with a number"}, // full-width digits
	{"0x10", `"x10"`},
	{"1_000", `"_000"`},
	{"4.7 kx", `"kx"`},
	{"5 ohm!", `"ohm!"`},
	{"4K7K", `"K"`},
	{"4k7 kohm", `"kohm"`},
	{"4.7k5", `"k5"`},
	{"4 k7", `"k7"`},
	{"1e3R5", `"R5"`},
	{"1e", `"e"`},
	{"1e+-3", `"e+-3"`},
	{"4 700", "no spaces between digits"},
	{"4,700", "4.700 or 4700"},
	{"4,700 ohm", "4.700 or 4700"},
	{"12,345k", "12.345 or 12345"},
	{"1,234,567", "no signs between thousands"},
	{"1,234.5", "no signs between thousands"},
	{"1.234,5", "no signs between thousands"},
	{"1.2.3", "no signs between thousands"},
	{"4,", `ends its number with ","`},
	{"300 V", "a voltage"},
	{"5 mA", "a current"},
	{"1 W", "a power"},
	{"20 °C", "a temperature"},
	{"5 %", "a percentage"},
	{"30 div", "a number of divisions"},
	{"4R7 V", "a voltage"},
	{"-5", "is negative"},
	{"-5 ohm", "is negative"},
	{"−4k7", "is negative"},
	{"0", "is zero"},
	{"0.00 ohm", "is zero"},
	{"1e100", "exponent beyond"},
	{"1e999999999999999999999", "exponent beyond"},
	{"1e25", "beyond 1e+24"},
	{"1e-25", "nearer to zero"},
	{"4.7\x00", "U+0000"},
	{"4.\n7", "U+000A"},
	{"4.7\u200b", "U+200B"},
	{"4.7\xff", "U+FFFD"},
	{strings.Repeat("1", 101), "longer than 100"},
}

func TestParseRefuses(t *testing.T) {
	for _, test := range refused {
		v, err := Parse(test.text, Ohm, Positive)
		if err == nil {
			t.Errorf("Parse(%q) = %+v, want an error", test.text, v)
			continue
		}
		for _, part := range []string{test.says, "a resistance above zero belongs here, such as 98.6 ohm"} {
			if !strings.Contains(err.Error(), part) {
				t.Errorf("Parse(%q): %v; want it to say %q", test.text, err, part)
			}
		}
		if strings.ContainsAny(err.Error(), "\n\x00") || !strings.HasPrefix(err.Error(), quote(strings.TrimSpace(test.text))) {
			t.Errorf("Parse(%q): %q; want one line that begins with the quoted text", test.text, err)
		}
		if v != (Value{}) {
			t.Errorf("Parse(%q) = %+v with an error, want the zero Value", test.text, v)
		}
	}
}

// What the text itself may be depends on what is asked for.
func TestParseRefusesForOtherUnits(t *testing.T) {
	tests := []struct {
		text string
		want Unit
		sign Sign
		says string
	}{
		{"4k7", Volt, Positive, "is a letter code for a resistance; a voltage above zero"},
		{"R47", Ampere, AnySign, "is a letter code for a resistance; a current belongs here"},
		{"50 ohm", Ampere, Positive, "is a resistance; a current above zero"},
		{"5k", Celsius, AnySign, "degrees Celsius do not take"},
		{"5m", Percent, NotNegative, "has a prefix, which percent do not take; a percentage of zero or more"},
		{"5 m%", Percent, NotNegative, `"m%"`},
		{"1k", Number, NotNegative, "numbers do not take"},
		{"1", "furlong", Positive, ""},
		{"1k", "furlong", Positive, "furlong do not take"},
	}
	for _, test := range tests {
		_, err := Parse(test.text, test.want, test.sign)
		if test.says == "" {
			if err != nil {
				t.Errorf("Parse(%q, %s): %v", test.text, test.want, err)
			}
		} else if err == nil || !strings.Contains(err.Error(), test.says) {
			t.Errorf("Parse(%q, %s): %v, want it to say %q", test.text, test.want, err, test.says)
		}
	}
}
