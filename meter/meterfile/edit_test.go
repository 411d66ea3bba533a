package meterfile_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shuntwright/meter/meterfile"
)

// The file of a person with habits of their own: tabs, line endings of another
// system, a byte order mark, odd order.
const ownHabits = "\ufeff{\"circuits\": [\r\n\t{\"range\" : \"grid 50mA\",\"circuit\" : \"shunt\"},\r\n" +
	"\t{\"ranges\": [\"10 mA\",\"1 A\"], \"fitted\": {\"1 A\": \"0.1 ohm\"}, \"circuit\": \"ring\"},\r\n" +
	"\t{\r\n\t\t\"circuit\": \"chain\",\r\n\t\t\"ranges\": [\"3 V\", \"30 V\"]\r\n\t},\r\n" +
	"\t{\"circuit\": \"external-shunt\", \"range\": \"2 A\", \"drop\": \"0.5 V\"}],\r\n" +
	"\"movement\":{\"coil\":\"50 ohm\",\"full_scale\":\"1 mA\"}}"

func TestSetFittedKeepsTheRest(t *testing.T) {
	tests := []struct{ position, network, old, new string }{
		{"shunt grid 50 mA", "R1 + R2", `"shunt"}`, `"shunt","fitted" : "R1 + R2"}`},
		{"ring 1A", "R7", `"0.1 ohm"`, `"R7"`},
		{"ring 10 mA", "R7 || 3 Ω", `"0.1 ohm"`, `"0.1 ohm", "10 mA": "R7 || 3 Ω"`},
		{"chain 30 V", "R3", "\"30 V\"]\r\n", "\"30 V\"],\r\n\t\t\"fitted\": {\"30 V\": \"R3\"}\r\n"},
		{"series 2 A", "R3", `"0.5 V"`, `"0.5 V", "fitted": {"series": "R3"}`},
	}
	for _, test := range tests {
		got, err := meterfile.SetFitted([]byte(ownHabits), test.position, test.network)
		if err != nil {
			t.Errorf("%s: %v", test.position, err)
			continue
		}
		if want := strings.Replace(ownHabits, test.old, test.new, 1); string(got) != want {
			t.Errorf("%s:\n%q\nwant\n%q", test.position, got, want)
		}
		f, err := meterfile.Parse("m.json", got)
		if err != nil {
			t.Fatal(err)
		}
		at, _ := f.Meter.FindPosition(test.position)
		if f.Fitted[at].Text != test.network {
			t.Errorf("%s reads back as %q", test.position, f.Fitted[at].Text)
		}
	}
}

// Where the fields of an object stand on lines of their own, a new one gets its
// own line too.
func TestSetFittedOnItsOwnLine(t *testing.T) {
	const text = "{\"movement\": {\"full_scale\": \"1 mA\", \"coil\": \"50 ohm\"}, \"circuits\": [{\"circuit\": \"chain\", \"ranges\": [\"3 V\", \"30 V\"], \"fitted\": {\n\t\"3 V\": \"R1\"\n}}]}"
	got, err := meterfile.SetFitted([]byte(text), "chain 30 V", "R2")
	if want := strings.Replace(text, "\"R1\"", "\"R1\",\n\t\"30 V\": \"R2\"", 1); err != nil || string(got) != want {
		t.Errorf("%v\n%s\nwant\n%s", err, got, want)
	}
}

// Filling and clearing every position of every circuit of the trade gives the
// file back, byte by byte, where it was open before.
func TestSetAndClearAreInverse(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join(circuitsFolder, "*.json"))
	files = append(files, "own habits")
	n := 0
	for _, path := range files {
		data, err := os.ReadFile(path)
		if path == "own habits" {
			data, err = []byte(ownHabits), nil
		}
		if err != nil {
			t.Fatal(err)
		}
		f, err := meterfile.Parse(path, data)
		if err != nil {
			continue // expected.json
		}
		for _, p := range f.Meter.Positions() {
			open, err := meterfile.SetFitted(data, p.Name, "")
			if err != nil {
				t.Fatalf("%s: %s: %v", path, p.Name, err)
			}
			full, err := meterfile.SetFitted(open, p.Name, "new-part")
			if err != nil {
				t.Fatalf("%s: %s: %v", path, p.Name, err)
			}
			again, err := meterfile.SetFitted(full, p.Name, "")
			if err != nil || string(again) != string(open) {
				t.Errorf("%s: %s: cleared again:\n%s\nwant\n%s (%v)", path, p.Name, again, open, err)
			}
			n++
		}
	}
	if n < 60 {
		t.Errorf("only %d positions tried", n)
	}
}

func TestEditRefuses(t *testing.T) {
	data := []byte(`{"movement": {"full_scale": "1 mA", "coil": "50 ohm"}, "circuits": [{"circuit": "shunt", "range": "5 mA"},
	{"circuit": "shunt", "range": "50 mA", "fitted": "R1"}]}`)
	tests := []struct{ position, network, want string }{
		{"shunt 5 A", "R2", `no position is called "shunt 5 A"; this meter has "shunt 5 mA", "shunt 50 mA"`},
		{"shunt 5 mA", "R2 + ", "filling"},
		{"shunt 5 mA", " ", "filling"},
		{"shunt 5 mA", "R1 + R2", `part "R1" is in`},
	}
	for _, test := range tests {
		if got, err := meterfile.SetFitted(data, test.position, test.network); err == nil || !strings.Contains(err.Error(), test.want) || got != nil {
			t.Errorf("%s %q: %v, want %q", test.position, test.network, err, test.want)
		}
	}
	if _, err := meterfile.SetFitted([]byte("{"), "shunt 5 mA", ""); err == nil {
		t.Error("cleared a file that is none")
	}
	if got, err := meterfile.SetFitted(data, "shunt 5mA", ""); err != nil || string(got) != string(data) {
		t.Errorf("clearing an open position: %q, %v", got, err)
	}
}

// The file of the manual, written from a description.
func TestEncode(t *testing.T) {
	fields := []meterfile.Given{{"class", "2.5"}, {"name", `the "bench" meter <1>`}, {"full_scale", "1 mA"}, {"coil", "98.6 ohm"},
		{"swamp", "0 ohm"}, {"instrument", "hand meter"}, {"divisions", "50"}}
	circuits := []meterfile.CircuitDescription{
		{Circuit: "direct", Ranges: []string{"1 mA"}},
		{Circuit: "ring", Ranges: []string{"10 mA", "1 A"}, Given: []meterfile.Given{{Field: "swamp", Text: "3 kΩ"}}},
		{Circuit: "chain", Ranges: []string{"3 V"}},
		{Circuit: "external-shunt", Ranges: []string{"plate 200 mA"}, Given: []meterfile.Given{{Field: "shunt", Text: "0.5 ohm"}}},
	}
	got, err := meterfile.Encode(fields, circuits)
	want := `{
  "name": "the \"bench\" meter <1>",
  "movement": {"full_scale": "1 mA", "coil": "98.6 ohm", "instrument": "hand meter", "swamp": "0 ohm", "divisions": 50},
  "class": 2.5,
  "circuits": [
    {"circuit": "direct", "range": "1 mA"},
    {"circuit": "ring", "ranges": ["10 mA", "1 A"], "swamp": "3 kΩ"},
    {"circuit": "chain", "ranges": ["3 V"]},
    {"circuit": "external-shunt", "range": "plate 200 mA", "shunt": "0.5 ohm"}
  ]
}
`
	if err != nil || string(got) != want {
		t.Errorf("%v\n%s\nwant\n%s", err, got, want)
	}
	got, err = meterfile.Encode(append(fields, []meterfile.Given{{"coil_floor", "0.1 ohm"}, {"full_scale_limit_percent", "0"}, {"coil_gain_percent", "0.50"}}...), circuits)
	limits := `{"full_scale": "1 mA", "full_scale_limit_percent": 0, "coil": "98.6 ohm", "coil_gain_percent": 0.5, "coil_floor": "0.1 ohm", "instrument"`
	if err != nil || !strings.Contains(string(got), limits) {
		t.Errorf("%v\n%s\nwant %s", err, got, limits)
	}
	if _, err := meterfile.Encode([]meterfile.Given{{"full_scale", "1 mA"}, {"coil", "0 ohm"}}, circuits); err == nil {
		t.Error("a coil of zero was written")
	}
}
