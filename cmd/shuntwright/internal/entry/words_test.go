package entry

import (
	"fmt"
	"maps"
	"math"
	"strings"
	"testing"

	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

// said is what a line says, by columns.
func said(t *testing.T, line string, drawer ...inventory.Part) (map[string]string, error) {
	t.Helper()
	has := func(id string) bool { return id == "R10" }
	p, _, err := newVocabulary(drawer).part(inventory.NewPart(quantity.Value{}), strings.Fields(line), has)
	out := map[string]string{}
	for _, f := range p.Fields() {
		if out[f.Column] = f.Text; f.Text == "" {
			out[f.Column] = fmt.Sprint(f.Number)
		}
	}
	return out, err
}

func TestLine(t *testing.T) {
	old := inventory.NewPart(quantity.Value{})
	old.Kind, old.Place = "Bakelite rod", "Loft 2"
	for line, want := range map[string]map[string]string{
		"11.3":                           {"ohms": "11.3"},
		"98.6 ohm":                       {"ohms": "98.6 ohm"},
		"4.7 k 5%":                       {"ohms": "4.7 k", "tolerance_percent": "5"},
		"11.3 carbon 0.5W tin C":         {"ohms": "11.3", "kind": "carbon", "watts": "0.5", "place": "tin C"},
		"11.3 0.5 W 350V ±5% Metal Film": {"ohms": "11.3", "kind": "metal film", "watts": "0.5", "volts": "350", "tolerance_percent": "5"},
		"4k7 nominal 4k7 5% tray 3":      {"ohms": "4k7", "nominal": "4k7", "tolerance_percent": "5", "place": "tray 3"},
		"4k7 marked 4.7 kohm watts 1/2":  {"ohms": "4k7", "nominal": "4.7 kohm", "watts": "0.5"},
		"4k7 1/4W":                       {"ohms": "4k7", "watts": "0.25"},
		"4k7 box old radio wire wound":   {"ohms": "4k7", "place": "box old radio", "kind": "wire wound"},
		"4k7 place carbon shelf watts 2": {"ohms": "4k7", "place": "carbon shelf", "watts": "2"},
		"4k7 kind odd one place x note 5% drift, volts 3": {"ohms": "4k7", "kind": "odd one", "place": "x", "note": "5% drift, volts 3"},
		"4k7 id R7 instrument hand meter":                 {"ohms": "4k7", "id": "R7", "instrument": "hand meter"},
		"4k7 +50ppm":                                      {"ohms": "4k7", "tempco_ppm": "50"},
		"4k7 bakelite ROD loft 2":                         {"ohms": "4k7", "kind": "Bakelite rod", "place": "Loft 2"},
		"4.7k bands yellow violet red gold tin C":         {"ohms": "4.7k", "nominal": "4.7 kΩ", "tolerance_percent": "5", "place": "tin C"},
		"4.7k bands yellow,violet,black,brown,brown,red":  {"ohms": "4.7k", "nominal": "4.70 kΩ", "tolerance_percent": "1", "tempco_ppm": "50"},
		"R47": {"ohms": "R47"},
		"R12": {"ohms": "R12"},
	} {
		if got, err := said(t, line, old); err != nil || !maps.Equal(got, want) {
			t.Errorf("%q: %q, %v; want %q", line, got, err, want)
		}
	}
	for line, want := range map[string]string{
		"":                  "a resistance above zero belongs here",
		"9.98 ohm/m":        `"9.98 ohm/m" is wire, which is entered with its length: shuntwright drawer add "9.98 ohm/m" --metres 5`,
		"carbon":            `"carbon" does not begin with a number`,
		"11.3 carbn":        `"carbn" is no kind, place or rating that is known here; write such as kind carbn, place carbn, note carbn`,
		"11.3 watts 5V":     `watts: "5V" is a voltage`,
		"11.3 watts carbon": `watts: "carbon" does not begin`,
		"11.3 0.5W 0W":      "watts:",
		"11.3 60%":          "tolerance_percent: 60 is more than 50",
		"0":                 "is zero",
		"R012":              `"R012" looks like the id of a part, and is 12 mΩ in letter code; write 0.012 ohm where that is meant`,
		"R10":               `"R10" is the id of a part, and is 100 mΩ in letter code; write 0.1 ohm`,
		"1/2":               "",
		"4.7k bands yellow": `bands "yellow": 1 of them, where 3 to 6 belong`,
		"4.7k bands":        `bands "": 0 of them`,
	} {
		if _, err := said(t, line); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", line, err, want)
		}
	}
}

// FuzzLine: whatever a line says is taken or refused in one line, and what is
// taken has a reading.
func FuzzLine(f *testing.F) {
	for _, line := range []string{"11.3 carbon 0.5W tin C", "nominal 4k7 5%", "4k7 place  watts", "R012", "\x00 1", "1 \x1b[2J", "4,700 ±"} {
		f.Add(line)
	}
	f.Fuzz(func(t *testing.T, line string) {
		p, _, err := newVocabulary(nil).part(inventory.NewPart(quantity.Value{}), strings.Fields(line), func(string) bool { return false })
		switch {
		case err != nil && strings.Contains(err.Error(), "\n"):
			t.Fatalf("%q: %v", line, err)
		case err == nil && !(p.Ohms.Base > 0) || math.IsInf(p.Watts, 0):
			t.Fatalf("%q is taken as %+v", line, p)
		}
	})
}

func TestSlip(t *testing.T) {
	many := func(text string, n int) (out []quantity.Value) {
		for i := range n {
			out = append(out, value(t, fmt.Sprintf(text, i+1)))
		}
		return out
	}
	for _, test := range []struct {
		read, nominal string
		before        []quantity.Value
		want          string
	}{
		{"4.71k", "4k7", nil, ""},
		{"4.71", "4k7", nil, "marked 4k7 and read 4.71 Ω"},
		{"47k", "4k7", nil, "marked 4k7 and read 47 kΩ"},
		{"23.5k", "4k7", nil, "marked 4k7 and read 23.5 kΩ"}, // five times
		{"23.4k", "4k7", nil, ""},
		{"940", "4k7", nil, "marked 4k7 and read 940 Ω"},
		{"941", "4k7", nil, ""},
		{"4.71k", "", many("4.7%dk", 1), "the same reading as the last part, 4.71 kΩ"},
		{"4.710k", "", many("4.7%dk", 1), ""}, // more digits, another reading
		{"4.71k", "", many("4.7%dk", 2), ""},
		{"4.7", "", many("4.%dk", 20), "no prefix, and the last 20 readings had the prefix k: is it 4.7 Ω"},
		{"4.7", "", many("4.%dk", 3), "no prefix, and the last 3 readings had the prefix k: is it 4.7 Ω"},
		{"410", "", many("4.%dk", 3), ""}, // a tenth
		{"409", "", many("4.%dk", 3), "no prefix, and the last 3 readings had the prefix k: is it 409 Ω"},
		{"4.7M", "", many("4.%dk", 2), ""},
		{"41k", "", many("4.%d", 1), ""},
		{"410", "", many("4.%dk", 19), ""},
		{"4.7", "", append(many("4.%d", 1), many("4.%dk", 19)...), ""},
		{"4.7M", "", many("4.%d ohm", 20), "the prefix M, and the last 20 readings had no prefix: is it 4.7 MΩ"},
		{"4k7", "", many("3.%d kohm", 20), ""},
		{"4.71", "4k7", many("4.7%dk", 20), "marked 4k7 and read 4.71 Ω; no prefix, and the last 20 readings had the prefix k: is it 4.71 Ω"},
	} {
		p := inventory.NewPart(value(t, test.read))
		if test.nominal != "" {
			p.Nominal = value(t, test.nominal)
		}
		if got := slip(p, test.before); got != test.want {
			t.Errorf("%s of %q after %d: %q, want %q", test.read, test.nominal, len(test.before), got, test.want)
		}
	}
}

func TestPrefix(t *testing.T) {
	for text, want := range map[string]string{
		"4.7": "", "4.7k": "k", "4K7": "k", "470R": "", "98.6 ohm": "", "98.6 mohm": "m", "50 mΩ": "m", "4.7 MΩ": "M", "2.2 kOhms": "k", "1e3": "", "47 µohm": "µ",
	} {
		if got := Prefix(value(t, text)); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func value(t *testing.T, text string) quantity.Value {
	t.Helper()
	v, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
