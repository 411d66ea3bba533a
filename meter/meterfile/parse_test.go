package meterfile_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"shuntwright/meter/meterfile"
)

// The meter of the manual, with everything that a file may hold.
const whole = `{
  "name": "bench meter",
  "movement": {"full_scale": "1 mA", "full_scale_limit_percent": 0.5, "coil": "98.6 ohm", "coil_gain_percent": 0.5, "coil_floor": "0.1 ohm",
               "instrument": "hand meter", "swamp": "0 ohm", "divisions": 50, "reference_celsius": 23},
  "class": 2.5,
  "circuits": [
    {"circuit": "direct", "range": "1 mA"},
    {"circuit": "shunt", "range": "5 mA"},
    {"circuit": "shunt", "range": "grid 50 mA", "fitted": "1.004 ohm", "contact": "5 mohm", "circuit_volts": "300 V"},
    {"circuit": "multiplier", "range": "15 V", "fitted": "R012 + R040"},
    {"circuit": "ring", "ranges": ["10 mA", "100 mA", "1 A"], "swamp": "0 ohm"},
    {"circuit": "chain", "ranges": ["3 V", "30 V", "300 V"], "fitted": {"30V": "R1"}},
    {"circuit": "external-shunt", "range": "plate 200 mA", "shunt": "0.5 ohm"},
    {"circuit": "external-shunt", "range": "screen 20 mA", "series": "900 ohm"},
    {"circuit": "external-shunt", "range": "500 mA", "drop": "150 mV", "fitted": {"series": "R2"}}
  ]
}`

func TestParseWhole(t *testing.T) {
	f, err := meterfile.Parse("m.json", []byte(whole))
	if err != nil {
		t.Fatal(err)
	}
	mv := f.Meter.Movement
	if mv.FullScaleAmperes != 1e-3 || mv.FullScaleLimitPercent != 0.5 || mv.CoilOhms != 98.6 || mv.CoilGainPercent != 0.5 || mv.CoilFloorOhms != 0.1 ||
		mv.Instrument != "hand meter" || mv.SwampOhms != 0 || mv.Divisions != 50 || mv.ReferenceCelsius != 23 || f.Meter.Class != 2.5 || f.Coil.Step != 0.1 {
		t.Errorf("movement %+v, class %v, coil %+v", mv, f.Meter.Class, f.Coil)
	}
	want := []struct{ position, fitted string }{
		{"shunt 5 mA", ""}, {"shunt grid 50 mA", "1.004 ohm"}, {"multiplier 15 V", "R012 + R040"}, {"ring 10 mA", ""}, {"ring 100 mA", ""}, {"ring 1 A", ""},
		{"chain 3 V", ""}, {"chain 30 V", "R1"}, {"chain 300 V", ""}, {"series plate 200 mA", ""}, {"external shunt screen 20 mA", ""},
		{"external shunt 500 mA", ""}, {"series 500 mA", "R2"},
	}
	positions := f.Meter.Positions()
	if len(positions) != len(want) || len(f.Fitted) != len(want) {
		t.Fatalf("%d positions, %d of them fitted or open, want %d", len(positions), len(f.Fitted), len(want))
	}
	for i, w := range want {
		if positions[i].Name != w.position || f.Fitted[i].Text != w.fitted || f.Fitted[i].Present != (w.fitted != "") {
			t.Errorf("position %d: %q with %+v, want %q with %q", i, positions[i].Name, f.Fitted[i], w.position, w.fitted)
		}
	}
	if p := positions[1]; p.CircuitVolts != 300 || !math.IsNaN(positions[0].CircuitVolts) {
		t.Errorf("circuit volts %v and %v", p.CircuitVolts, positions[0].CircuitVolts)
	}
	if at := f.Fitted[2]; at.Line != 10 || at.Column != 58 {
		t.Errorf("%q at %d:%d", at.Text, at.Line, at.Column)
	}
}

// small is a meter with one circuit, for the errors: %s is the circuit.
func small(circuit string) string {
	return "{\"movement\": {\"full_scale\": \"1 mA\", \"coil\": \"50 ohm\"},\n\"circuits\": [" + circuit + "]}"
}

// refusals are files that are refused, each with the text that says why.
func refusals() []struct{ text, want string } {
	deep := strings.Repeat(`{"name":`, 100) + "1" + strings.Repeat("}", 100)
	return []struct{ text, want string }{
		{"", "m.json:1:1: not JSON: unexpected end of JSON input; "},
		{"\ufeff", "m.json:1:1: not JSON: "},
		{"{\n  \"name\": ,\n}", "m.json:2:11: not JSON: invalid character ','"},
		{"{} {}", "m.json:1:4: not JSON: invalid character '{' after top-level value"},
		{"[]", "m.json:1:1: a meter file is a list where an object belongs; "},
		{"{\"name\": \"\xff\"}", "m.json:1:11: this byte is not UTF-8"},
		{deep, "nested more than 20 deep"},
		{strings.Repeat("[", 100000), "m.json:1:"},
		{`{"name": "a", "movment": {}}`, `m.json:1:15: a meter file has no field "movment"; known here: name, movement, class, circuits`},
		{`{"name": 7, "movement": {"full_scale": "1 mA", "coil": "50 ohm"}, "circuits": []}`, `m.json:1:10: "name" is a number where a text belongs; write "bench meter"`},
		{`{"name": "a"}`, `m.json:1:1: a meter file has no "movement"; write "movement": {`},
		{`{"movement": 5, "circuits": []}`, `m.json:1:14: the movement is a number where an object belongs`},
		{`{"movement": {"full_scale": "1 mA"}, "circuits": []}`, `m.json:1:14: the movement has no "coil"`},
		{`{"movement": {"full_scale": "1 V", "coil": "50 ohm"}, "circuits": []}`, `m.json:1:29: "full_scale": `},
		{`{"movement": {"full_scale": "1 mA", "coil": "-50 ohm"}, "circuits": []}`, `m.json:1:45: "coil": `},
		{`{"movement": {"full_scale": "1 mA", "coil": 50}, "circuits": []}`, `"coil" is a number where a text belongs; write "98.6 ohm"`},
		{`{"movement": {"full_scale": "1 mA", "coil": "50 ohm", "divisions": "50"}, "circuits": []}`, `"divisions" is a text where a number belongs`},
		{`{"movement": {"full_scale": "1 mA", "coil": "50 ohm", "divisions": 0}, "circuits": []}`, `"divisions" is 0; it must be more than 0`},
		{`{"movement": {"full_scale": "1 mA", "coil": "50 ohm", "divisions": 1e999}, "circuits": []}`, `"divisions" is 1e999`},
		{`{"movement": {"full_scale": "1 mA", "coil": "50 ohm", "reference_celsius": -300}, "circuits": []}`, `a temperature`},
		{`{"movement": {"full_scale": "1 mA", "coil": "50 ohm", "coil": "51 ohm"}, "circuits": []}`, `m.json:1:55: "coil" stands twice; it stands at 1:37 already`},
		{`{"movement": {"full_scale": "1 mA", "coil": "50 ohm"}, "class": -1, "circuits": []}`, `"class" is -1`},
		{`{"movement": {"full_scale": 2,5, "coil": "50 ohm"}}`, `m.json:1:29: not JSON: the number 2,5 has a comma; write a point, 2.5, or a quantity with its unit in quotation marks, "2,5 mA"`},
		{"{\n\"Ω\": -12,75}", `m.json:2:6: not JSON: the number -12,75 has a comma`},
		{`{"class": 2, 5}`, `m.json:1:14: not JSON: `},
		{small(``), `m.json:2:13: "circuits" must be a list of at least one circuit`},
		{small(`7`), `m.json:2:14: a circuit is a number where an object belongs`},
		{small(`{"range": "5 mA"}`), `a circuit has no "circuit"`},
		{small(`{"circuit": "shnt", "range": "5 mA"}`), `m.json:2:26: no circuit is called "shnt"; known circuits: direct, external-shunt, ring, shunt, chain, multiplier`},
		{small(`{"circuit": "shunt"}`), `circuit shunt has no "range"`},
		{small(`{"circuit": "shunt", "ranges": ["5 mA"]}`), `circuit shunt has no field "ranges"`},
		{small(`{"circuit": "shunt", "range": "5"}`), `m.json:2:44: range "5": `},
		{small(`{"circuit": "shunt", "range": "grid"}`), `range "grid": `},
		{small(`{"circuit": "shunt", "range": "-5 mA"}`), `range "-5 mA": `},
		{small(`{"circuit": "shunt", "range": "5 V"}`), `range "5 V" is in V, which circuit shunt cannot make`},
		{small(`{"circuit": "multiplier", "range": "5 mA"}`), `range "5 mA" is in A`},
		{small(`{"circuit": "ring", "ranges": []}`), `"ranges" must be a list of at least one range`},
		{small(`{"circuit": "ring", "ranges": "5 mA"}`), `"ranges" must be a list`},
		{small(`{"circuit": "ring", "ranges": ["5 mA", 7]}`), `"ranges" is a number where a text belongs`},
		{small(`{"circuit": "ring", "ranges": ["grid 5 mA", "grid 5mA"]}`), `m.json:2:58: range "grid 5mA" stands at 2:45 already; put a word`},
		{small(`{"circuit": "shunt", "range": "5 mA", "fitted": 7}`), `"fitted" is a number where a text belongs`},
		{small(`{"circuit": "shunt", "range": "5 mA", "fitted": null}`), `"fitted" is null where a text belongs`},
		{small(`{"circuit": "shunt", "range": "5 mA", "fitted": {"5 mA": "R1"}}`), `"fitted" is an object where a text belongs`},
		{small(`{"circuit": "shunt", "range": "5 mA", "fitted": " "}`), `"fitted" is empty`},
		{small(`{"circuit": "shunt", "range": "5 mA", "fitted": "R1 + R2 || R3"}`), `m.json:2:71: network "R1 + R2 || R3", column 9`},
		{small(`{"circuit": "shunt", "range": "5 mA", "fitted": "R1 + \u0052\u0032 || R3"}`), `m.json:2:62: network`},
		{small(`{"circuit": "direct", "range": "1 mA", "fitted": "R1"}`), `m.json:2:53: a direct range has no position to fill`},
		{small(`{"circuit": "ring", "ranges": ["5 mA"], "fitted": "R1"}`), `"fitted" is a text where an object belongs; write {"5 mA": "R001"}`},
		{small(`{"circuit": "ring", "ranges": ["5 mA"], "fitted": {"50 mA": "R1"}}`), `this ring circuit has no position for "50 mA"; known here: 5 mA`},
		{small(`{"circuit": "ring", "ranges": ["5 mA"], "fitted": {"5 mA": "R1", "5mA": "R2"}}`), `"5mA" stands twice`},
		{small(`{"circuit": "shunt", "range": "5 mA", "contact": "-1 ohm"}`), `"contact": `},
		{small(`{"circuit": "shunt", "range": "5 mA", "circuit_volts": "3 ohm"}`), `"circuit_volts": `},
		{small(`{"circuit": "external-shunt", "range": "5 mA"}`), `an external-shunt circuit needs exactly one of shunt, series and drop`},
		{small(`{"circuit": "external-shunt", "range": "5 mA", "shunt": "1 ohm", "drop": "1 V"}`), `exactly one of shunt, series and drop`},
		{small(`{"circuit": "shunt", "range": "5 mA", "fitted": "R1"},` + "\n" + `{"circuit": "shunt", "range": "50 mA", "fitted": "R2 + R1"}`),
			`m.json:3:50: part "R1" is in "shunt 50 mA", and at 2:62 in "shunt 5 mA" already; a part is in one place`},
	}
}

func TestParseRefuses(t *testing.T) {
	for _, test := range refusals() {
		_, err := meterfile.Parse("m.json", []byte(test.text))
		var place *meterfile.Error
		if !errors.As(err, &place) || !strings.Contains(err.Error(), test.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%.100q:\n  %v, want\n  %s", test.text, err, test.want)
		} else if place.Hint == "" || place.Line < 1 || place.Column < 1 {
			t.Errorf("%.100q: no place or no hint: %+v", test.text, place)
		}
	}
	huge := append([]byte(small(`{"circuit": "direct", "range": "1 mA"}`)), make([]byte, 5<<20)...)
	if _, err := meterfile.Parse("m.json", huge); err == nil {
		t.Error("5 MB taken for a meter")
	}
}

// What Parse leaves to others: a range that the movement cannot serve, and a
// meter without a name.
func TestParseTakes(t *testing.T) {
	f, err := meterfile.Parse("folder/my meter.json", []byte(small(`{"circuit": "shunt", "range": "10 uA", "fitted": "1 ohm"}`)))
	if err != nil || f.Meter.Name != "my meter" {
		t.Fatalf("%v, %+v", err, f)
	}
	if _, err := f.Meter.Targets(); err == nil {
		t.Error("10 uA of a 1 mA movement has a target")
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(whole))
	f.Add([]byte(ownHabits))
	f.Add([]byte("\ufeff[{}"))
	f.Add([]byte(small(`{"circuit": "ring", "ranges": ["5 mA"], "fitted": {}}`)))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := meterfile.Parse("m.json", data)
		if err != nil {
			if strings.Contains(err.Error(), "\n") {
				t.Fatalf("an error of several lines: %q", err)
			}
			return
		}
		for i, p := range file.Meter.Positions() {
			filled, err := meterfile.SetFitted(data, p.Name, "a-part-of-its-own")
			if err != nil {
				t.Fatalf("filling %q: %v", p.Name, err)
			}
			open, err := meterfile.SetFitted(filled, p.Name, "")
			if err != nil {
				t.Fatalf("clearing %q: %v", p.Name, err)
			}
			same(t, file, parse(t, filled), i, "a-part-of-its-own")
			same(t, file, parse(t, open), i, "")
		}
	})
}

func parse(t *testing.T, data []byte) *meterfile.File {
	f, err := meterfile.Parse("m.json", data)
	if err != nil {
		t.Fatalf("edited file: %v\n%s", err, data)
	}
	return f
}

// same checks that b is a but for position i, which holds text.
func same(t *testing.T, a, b *meterfile.File, i int, text string) {
	for k, fit := range b.Fitted {
		want := a.Fitted[k].Text
		if k == i {
			want = text
		}
		if fit.Text != want || a.Meter.Positions()[k].Name != b.Meter.Positions()[k].Name {
			t.Fatalf("position %d holds %q, want %q", k, fit.Text, want)
		}
	}
}
