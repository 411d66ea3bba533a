package instrument

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shuntwright/inventory/safefile"
	"shuntwright/inventory/table"
)

const twoInstruments = `{"hand meter": {"gain_percent": 0.8, "counts": 1, "leads": "0.2 ohm", "leads_floor": "0.03 ohm"},
 "bridge": {"gain_percent": 0.05, "floor": "0.5 mohm", "wires": 4}}
`

func parsed(t *testing.T, text string) map[string]Instrument {
	t.Helper()
	in, err := Parse("i.json", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return in
}

func TestRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "instruments.json")
	if _, err := Read(safefile.Files{}, path); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a file that is not there: %v", err)
	}
	if err := os.WriteFile(path, []byte("\ufeff"+twoInstruments), 0o644); err != nil {
		t.Fatal(err)
	}
	in, err := Read(safefile.Files{}, path)
	if err != nil || len(in) != 2 {
		t.Fatalf("%+v, %v", in, err)
	}
	if want := (Instrument{GainPercent: 0.8, Counts: 1, Wires: 2, LeadsOhms: 0.2, LeadsFloorOhms: 0.03}); in["hand meter"] != want {
		t.Errorf("%+v, want %+v", in["hand meter"], want)
	}
	if want := (Instrument{GainPercent: 0.05, FloorOhms: 0.0005, Wires: 4}); in["bridge"] != want {
		t.Errorf("%+v, want %+v", in["bridge"], want)
	}
	more := parsed(t, `{"a": {"gain_percent": "0.5 %", "counts": "2", "floor": 0.01, "wires": 2}}`)
	if want := (Instrument{GainPercent: 0.5, Counts: 2, FloorOhms: 0.01, Wires: 2}); more["a"] != want {
		t.Errorf("%+v, want %+v", more["a"], want)
	}
	if none := parsed(t, " {} "); len(none) != 0 {
		t.Errorf("%+v, want none", none)
	}
}

func TestParseRefuses(t *testing.T) {
	for text, says := range map[string]string{
		"":                                    "i.json:1:1: the JSON text ends too early",
		"{":                                   "i.json:1:2: the JSON text ends too early",
		`{"a": {"gain_percent": 1}`:           "i.json:1:26: the JSON text ends too early",
		"[]":                                  "i.json:1:1: [; an object of instruments belongs here",
		"5":                                   "i.json:1:1: 5; an object of instruments",
		`{"a" {}}`:                            "i.json:1:6: no JSON: ",
		"{\n \"a\": 5}":                       "i.json:2:7: 5; an object such as",
		"{\"Ω\": {\"gain\": 0.8}}":            `i.json:1:8: unknown field "gain"; an instrument has gain_percent, counts, floor, leads, leads_floor, wires`,
		`{"a": {"Gain_percent": 0.8}}`:        `i.json:1:8: unknown field "Gain_percent"`,
		"{\"a\": {\n\t\"gain_percent\": -1}}": `i.json:2:18: gain_percent "-1" is negative; a percentage of zero or more belongs here`,
		`{"a": {"gain_percent": "x"}}`:        `i.json:1:24: gain_percent "x" does not begin with a number`,
		`{"a": {"gain_percent": "1 V"}}`:      `i.json:1:24: gain_percent "1 V" is a voltage`,
		`{"a": {"gain_percent": null}}`:       `i.json:1:24: null; a number or a text`,
		`{"a": {"gain_percent": true}}`:       `i.json:1:24: true; a number or a text`,
		`{"a": {"gain_percent": []}}`:         `i.json:1:24: [; a number or a text`,
		`{"a": {"gain_percent": 1e999}}`:      `i.json:1:24: gain_percent "1e999" has an exponent beyond`,
		`{"a": {"gain_percent": tru}}`:        `i.json:1:24: no JSON: `,
		`{"a": {"gain_percent": 0,8}}`:        `i.json:1:24: no JSON: the number 0,8 has a comma; write a point, 0.8`,
		`{"a": {"gain_percent": 0,8, "counts": 1}}`:                `i.json:1:24: no JSON: the number 0,8 has a comma; write a point, 0.8`,
		`{"a": {"counts": 1}}`:                                     `i.json:1:2: the instrument "a" has no gain_percent; write 0 if`,
		`{"a": {"gain_percent": 1, "counts": "1 ohm"}}`:            `i.json:1:37: counts "1 ohm" is a resistance; a number of zero or more`,
		`{"a": {"gain_percent": 1, "floor": "4,700"}}`:             `i.json:1:36: floor "4,700" can be 4.700 or 4700`,
		`{"a": {"gain_percent": 1, "leads": "-1 ohm"}}`:            `i.json:1:36: leads "-1 ohm" is negative`,
		`{"a": {"gain_percent": 1, "wires": 3}}`:                   `i.json:1:36: wires "3"; write 2 or 4`,
		`{"a": {"gain_percent": 1, "wires": 2.5}}`:                 `i.json:1:36: wires "2.5"; write 2 or 4`,
		`{"a": {"gain_percent": 1, "gain_percent": 2}}`:            `i.json:1:27: "gain_percent" stands twice`,
		`{"a": {"gain_percent": 1, "leads": 1, "wires": 4}}`:       `i.json:1:27: leads are not in a four-wire reading`,
		`{"a": {"gain_percent": 1, "wires": 4, "leads_floor": 1}}`: `i.json:1:39: leads are not in a four-wire reading`,
		`{"a": {"gain_percent": 1}, "a": {"gain_percent": 1}}`:     `i.json:1:28: the instrument "a" is defined twice`,
		`{"": {"gain_percent": 1}}`:                                `i.json:1:2: "" cannot be the name`,
		`{" a": {"gain_percent": 1}}`:                              `i.json:1:2: " a" cannot be the name`,
		`{"(unnamed)": {"gain_percent": 1}}`:                       `i.json:1:2: "(unnamed)" cannot be the name`,
		"{}\n{}":                                                   "i.json:2:1: something follows",
		"{\"a\xff\": 1}":                                           "i.json:1:4: the byte 0xff is not UTF-8",
		"{\x00}":                                                   "i.json:1:2: a NUL character",
	} {
		in, err := Parse("i.json", []byte(text))
		var wrong *table.Error
		if !errors.As(err, &wrong) || !strings.HasPrefix(err.Error(), says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %v, %v; want %q", text, in, err, says)
		}
	}
	folder := t.TempDir()
	if _, err := Read(safefile.Files{}, folder); err == nil || !strings.Contains(err.Error(), "it is a folder") {
		t.Errorf("a folder: %v", err)
	}
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{twoInstruments, "{}", `{"a": {"gain_percent": "1 %"}} x`, `{"a": {"gain_percent": 1e3, "wires": 4, "floor": null}}`, "{\"\\ud800\": 1}", "["} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		in, err := Parse("f", []byte(text))
		if err != nil {
			if strings.Contains(err.Error(), "\n") {
				t.Fatalf("%q: %q is not one line", text, err)
			}
			return
		}
		for name, i := range in {
			if !(i.GainPercent >= 0 && i.Counts >= 0 && i.FloorOhms >= 0 && i.LeadsOhms >= 0 && i.LeadsFloorOhms >= 0) || i.Wires != 2 && i.Wires != 4 {
				t.Fatalf("%q: %q is %+v", text, name, i)
			}
		}
	})
}
