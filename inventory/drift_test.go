package inventory

import (
	"math"
	"testing"

	"shuntwright/meter/quantity"
)

// TestUnsteady: invented parts; the rule is common practice, 5 % the closest
// tolerance of MIL-R-39008.
func TestUnsteady(t *testing.T) {
	ohms := func(text string) quantity.Value {
		v, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	for _, test := range []struct {
		kind, reading, earlier, nominal string
		tolerance, now                  float64
		want                            string
	}{
		{"carbon", "100", "", "", math.NaN(), 105.1, "+5.1 % since it read 100"},
		{"carbon", "100", "", "", math.NaN(), 104.9, ""},
		{"carbon composition", "100", "", "", 10, 109, ""},
		{"Composition", "100", "", "", 10, 89, "-11.0 % since it read 100"},
		{"carbon", "106", "100 by hand meter on 2024-05-31; 103", "", math.NaN(), 106, "+6.0 % since it read 100"},
		{"carbon", "4.96k", "4.60k on 2024-05-31", "", math.NaN(), 4960, "+7.8 % since it read 4.60k"},
		{"carbon", "112", "", "100", 5, 112, "+12.0 % from the 100 that it is marked with"},
		{"carbon", "109", "", "100", 5, 109, ""},
		{"carbon", "2.860k", "2.860M on 2024-05-31", "", math.NaN(), 2860, ""}, // a slip
		{"carbon film", "100", "", "", 5, 120, ""},
		{"", "100", "", "", 5, 120, ""},
	} {
		p := NewPart(ohms(test.reading))
		p.Kind, p.Earlier, p.TolerancePercent = test.kind, test.earlier, test.tolerance
		if test.nominal != "" {
			p.Nominal = ohms(test.nominal)
		}
		if got := p.Unsteady(test.now); got != test.want {
			t.Errorf("%+v: %q", test, got)
		}
	}
}
