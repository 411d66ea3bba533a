package instrument

import (
	"errors"
	"maps"
	"strings"
	"testing"

	"shuntwright/inventory/table"
)

var clamp = Instrument{GainPercent: 1.5, Counts: 2, FloorOhms: 0.05, Wires: 2, LeadsOhms: 0.2, LeadsFloorOhms: 0.03}

const clampBody = `{"gain_percent": 1.5, "counts": 2, "floor": "0.05 ohm", "leads": "0.2 ohm", "leads_floor": "0.03 ohm"}`

// What Put does not touch stays byte for byte.
func TestPut(t *testing.T) {
	for _, test := range []struct{ before, name, after string }{
		{"", "clamp", `{"clamp": ` + clampBody + "}\n"},
		{" \n", "clamp", `{"clamp": ` + clampBody + "}\n"},
		{"{\n}", "clamp", "{\n" + `"clamp": ` + clampBody + "}"},
		{"\ufeff" + `{"a" : {"gain_percent":1 }` + "\r\n}\r\n", "clamp", "\ufeff" + `{"a" : {"gain_percent":1 },` + "\n " + `"clamp": ` + clampBody + "\r\n}\r\n"},
		{`{"a": {"gain_percent": 1}, "clamp":  {"gain_percent": 7, "wires": 4} , "b": {"gain_percent": 2}}`, "clamp",
			`{"a": {"gain_percent": 1}, "clamp":  ` + clampBody + ` , "b": {"gain_percent": 2}}`},
		{`{"\u0063lamp": {"gain_percent": 7}}`, "clamp", `{"\u0063lamp": ` + clampBody + "}"},
		{"{}", `5" <Ω>`, `{"5\" <Ω>": ` + clampBody + "}"},
	} {
		got, err := Put("i.json", []byte(test.before), test.name, clamp)
		if err != nil || string(got) != test.after {
			t.Errorf("%q: %q, %v; want %q", test.before, got, err, test.after)
			continue
		}
		if in := parsed(t, string(got)); in[test.name] != clamp {
			t.Errorf("%q: read back as %+v", test.before, in)
		}
	}
	four := Instrument{FloorOhms: 1e-7, Wires: 4}
	if got, err := Put("i.json", nil, "bridge", four); err != nil || string(got) != `{"bridge": {"gain_percent": 0, "floor": "0.0000001 ohm", "wires": 4}}`+"\n" {
		t.Errorf("%s, %v", got, err)
	}
}

func TestPutRefuses(t *testing.T) {
	for _, test := range []struct {
		data, name string
		promise    Instrument
		says       string
	}{
		{"{}", "", clamp, `"" cannot be the name of an instrument; write one such as "hand meter"`},
		{"{}", " a", clamp, `" a" cannot be the name`},
		{"{}", Unnamed, clamp, `"(unnamed)" cannot be the name`},
		{"{}", "a\xff", clamp, `cannot be written`},
		{"{}", "a", Instrument{GainPercent: -1, Wires: 2}, `cannot be written`},
		{"{}", "a", Instrument{GainPercent: 1, LeadsOhms: 1, Wires: 4}, `leads are not in a four-wire reading`},
		{"{}", "a", Instrument{GainPercent: 1}, `cannot be written`},
		{"[]", "a", clamp, `i.json:1:1: [; an object of instruments belongs here`},
	} {
		if got, err := Put("i.json", []byte(test.data), test.name, test.promise); err == nil || !strings.Contains(err.Error(), test.says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q into %q: %q, %v; want %q", test.name, test.data, got, err, test.says)
		}
	}
	var wrong *table.Error
	if _, err := Put("i.json", []byte("{\n5}"), "a", clamp); !errors.As(err, &wrong) || wrong.Line != 2 {
		t.Errorf("a damaged file: %v", err)
	}
}

// Whatever stands in a file, Put changes the one instrument and no other.
func FuzzPut(f *testing.F) {
	for _, text := range []string{twoInstruments, "{}", " ", `{"a":{"gain_percent":1}}`, "{\"\\ud800\": {\"gain_percent\": 1}}", "{\n\n}\n"} {
		f.Add(text, "bridge")
		f.Add(text, "a")
	}
	f.Fuzz(func(t *testing.T, text, name string) {
		changed, err := Put("f", []byte(text), name, clamp)
		if err != nil {
			return
		}
		want := map[string]Instrument{}
		if strings.TrimSpace(text) != "" {
			want = parsed(t, text)
		}
		want[name] = clamp
		if got := parsed(t, string(changed)); !maps.Equal(got, want) {
			t.Fatalf("%q into %q gives %q: %+v, want %+v", name, text, changed, got, want)
		}
	})
}
