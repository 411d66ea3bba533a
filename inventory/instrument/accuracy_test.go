package instrument

import (
	"strings"
	"testing"
)

func TestParseAccuracy(t *testing.T) {
	for text, want := range map[string]Instrument{
		"0.8 % + 1 count + 0.1 ohm":             {GainPercent: 0.8, Counts: 1, FloorOhms: 0.1},
		"0.5%+2counts+0.1Ω":                     {GainPercent: 0.5, Counts: 2, FloorOhms: 0.1},
		" ±(0,8 % + 3 digits) ":                 {GainPercent: 0.8, Counts: 3},
		"± 1 digit + 50 mΩ + 0.05 % of reading": {GainPercent: 0.05, Counts: 1, FloorOhms: 0.05},
		"0 % + 0.5 mohm":                        {FloorOhms: 0.0005},
		"1 %":                                   {GainPercent: 1},
		"(1 % + 1R5)":                           {GainPercent: 1, FloorOhms: 1.5},
	} {
		want.Wires = 2
		got, err := ParseAccuracy(text)
		if err != nil || got != want {
			t.Errorf("%q: %+v, %v; want %+v", text, got, err, want)
		}
		if again, err := ParseAccuracy(got.Accuracy()); err != nil || again != got {
			t.Errorf("%q is written as %q and read back as %+v, %v", text, got.Accuracy(), again, err)
		}
	}
}

func TestParseAccuracyRefuses(t *testing.T) {
	for text, says := range map[string]string{
		"":                          `accuracy "": "" holds no quantity; write such as "0.8 % + 1 count + 0.03 ohm"`,
		"good":                      `"good" does not begin with a number`,
		"0.8":                       `"0.8" has no unit`,
		"0.8 % + 2":                 `"2" has no unit`,
		"-0.8 % + 1 count":          `"-0.8 %" is negative`,
		"0.8 % + -1 count":          `"-1" is negative`,
		"0.8 % + -0.1 ohm":          `"-0.1 ohm" is negative`,
		"0.8 % - 1 count":           `"0.8 % - 1" ends with "% - 1"`,
		"0.8 % of range + 1 count":  `ends with "% of range"`,
		"0.8 % + 1 V":               `"1 V" is a voltage`,
		"0.8 % + 0.5 %":             `"0.5 %" says a second time`,
		"1 count + 0.8 % + 2 digit": `"2" says a second time`,
		"2 counts + 0.1 ohm":        "it has no percentage of the reading, which can be 0 %",
		"0.8 % + 1 % count":         `"1 %" is a percentage`,
		"0.8 % + count":             `"" holds no quantity`,
		"0.8 % +":                   `"" holds no quantity`,
		"±(0.8 %":                   "a bracket is not closed",
		"0.8 %)":                    `ends with "%)"`,
		"4,700 %":                   "write which",
		"0.8 %\n+ 1 V":              `"1 V" is a voltage`,
		"1e999 %":                   "has an exponent beyond",
	} {
		got, err := ParseAccuracy(text)
		if err == nil || got != (Instrument{}) || !strings.Contains(err.Error(), says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %+v, %v; want %q", text, got, err, says)
		}
	}
}

func FuzzParseAccuracy(f *testing.F) {
	for _, text := range []string{"0.8 % + 1 count + 0.1 ohm", "±(0,8 % + 3 digits)", "1e-20 % + 1e20 ohm", "4k7+1%", "+"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		i, err := ParseAccuracy(text)
		if err != nil {
			if strings.Contains(err.Error(), "\n") {
				t.Fatalf("%q: %q is not one line", text, err)
			}
			return
		}
		if !(i.GainPercent >= 0 && i.Counts >= 0 && i.FloorOhms >= 0) {
			t.Fatalf("%q: %+v", text, i)
		}
		if again, err := ParseAccuracy(i.Accuracy()); err != nil || again != i {
			t.Fatalf("%q is written as %q and read back as %+v, %v", text, i.Accuracy(), again, err)
		}
	})
}
