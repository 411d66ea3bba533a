package inventory

import (
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shuntwright/inventory/table"
	"shuntwright/meter/quantity"
)

const twoInstruments = `{"hand meter": {"gain_percent": 0.8, "counts": 1, "leads": "0.2 ohm", "leads_floor": "0.03 ohm"},
 "bridge": {"gain_percent": 0.05, "floor": "0.5 mohm", "wires": 4}}
`

func instruments(t *testing.T, text string) Instruments {
	t.Helper()
	in, err := ParseInstruments("i.json", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return in
}

func TestReadInstruments(t *testing.T) {
	path := filepath.Join(t.TempDir(), "instruments.json")
	if _, err := ReadInstruments(path); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a file that is not there: %v", err)
	}
	if err := os.WriteFile(path, []byte("\ufeff"+twoInstruments), 0o644); err != nil {
		t.Fatal(err)
	}
	in, err := ReadInstruments(path)
	if err != nil || len(in) != 2 {
		t.Fatalf("%+v, %v", in, err)
	}
	if want := (Instrument{GainPercent: 0.8, Counts: 1, Wires: 2, LeadsOhms: 0.2, LeadsFloorOhms: 0.03}); in["hand meter"] != want {
		t.Errorf("%+v, want %+v", in["hand meter"], want)
	}
	if want := (Instrument{GainPercent: 0.05, FloorOhms: 0.0005, Wires: 4}); in["bridge"] != want {
		t.Errorf("%+v, want %+v", in["bridge"], want)
	}
	more := instruments(t, `{"a": {"gain_percent": "0.5 %", "counts": "2", "floor": 0.01, "wires": 2}}`)
	if want := (Instrument{GainPercent: 0.5, Counts: 2, FloorOhms: 0.01, Wires: 2}); more["a"] != want {
		t.Errorf("%+v, want %+v", more["a"], want)
	}
	if none := instruments(t, " {} "); len(none) != 0 {
		t.Errorf("%+v, want none", none)
	}
}

func TestParseInstrumentsRefuses(t *testing.T) {
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
		`{"a": {"counts": 1}}`:                `i.json:1:2: the instrument "a" has no gain_percent; write 0 if`,
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
		in, err := ParseInstruments("i.json", []byte(text))
		var wrong *table.Error
		if !errors.As(err, &wrong) || !strings.HasPrefix(err.Error(), says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %v, %v; want %q", text, in, err, says)
		}
	}
	folder := t.TempDir()
	if _, err := ReadInstruments(folder); err == nil || !strings.Contains(err.Error(), "it is a folder") {
		t.Errorf("a folder: %v", err)
	}
}

func TestMeasure(t *testing.T) {
	in := instruments(t, twoInstruments)
	nan := math.NaN()
	tests := []struct {
		name, reading, instrument string
		gain, floor               float64 // the part's own
		want                      Measured
		limit                     float64
	}{
		// 0.8 % of 10.91 and one count of 0.01, common practice.
		{"nothing known", "10.91", "", nan, nan, Measured{Ohms: 10.91, GainPercent: 0.8, FloorOhms: 0.01, Shared: Unnamed, Assumed: true}, 0.09728},
		{"a coarse reading", "4.7k", "", nan, nan, Measured{Ohms: 4700, GainPercent: 0.8, FloorOhms: 100, Shared: Unnamed, Assumed: true}, 137.6},
		{"half of it known", "10.91", "", 0.5, nan, Measured{Ohms: 10.91, GainPercent: 0.5, FloorOhms: 0.01, Shared: Unnamed, Assumed: true}, 0.06455},
		{"all of it known", "10.91", "", 0.5, 0.002, Measured{Ohms: 10.91, GainPercent: 0.5, FloorOhms: 0.002, Shared: Unnamed}, 0.05655},
		// The leads go off the reading; its limit is of the whole reading, and
		// what is uncertain of the leads comes on top.
		{"two wires", "20.2", "hand meter", nan, nan, Measured{Ohms: 20, GainPercent: 0.8 * 20.2 / 20, FloorOhms: 0.13, Shared: "hand meter"}, 0.8*20.2/100 + 0.13},
		{"two wires, own limits", "20.2", "hand meter", 0, 0.01, Measured{Ohms: 20, FloorOhms: 0.04, Shared: "hand meter"}, 0.04},
		{"four wires", "1.0005", "bridge", nan, nan, Measured{Ohms: 1.0005, GainPercent: 0.05, FloorOhms: 0.0005, Shared: "bridge"}, 0.00100025},
	}
	for _, test := range tests {
		p := NewPart(ohms(t, test.reading))
		p.ID, p.Instrument, p.GainPercent, p.FloorOhms = "R001", test.instrument, test.gain, test.floor
		got, err := in.Measure(p)
		if err != nil {
			t.Errorf("%s: %v", test.name, err)
			continue
		}
		for _, pair := range [][2]float64{{got.Ohms, test.want.Ohms}, {got.GainPercent, test.want.GainPercent}, {got.FloorOhms, test.want.FloorOhms}, {got.LimitOhms(), test.limit}} {
			if math.Abs(pair[0]-pair[1]) > 1e-12*(1+pair[1]) {
				t.Errorf("%s: %+v with limit %v, want %+v with %v", test.name, got, got.LimitOhms(), test.want, test.limit)
			}
		}
		if got.Shared != test.want.Shared || got.Assumed != test.want.Assumed || got.Warnings != nil {
			t.Errorf("%s: %+v, want %+v", test.name, got, test.want)
		}
	}
}

// A part that is marked and was never measured errs on its own.
func TestMeasureMarkedPart(t *testing.T) {
	p := NewPart(quantity.Value{})
	p.ID, p.Nominal, p.TolerancePercent, p.Instrument = "R001", ohms(t, "2R2"), 5, "no matter"
	got, err := Instruments{}.Measure(p)
	if err != nil || got.Ohms != 2.2 || got.GainPercent != 5 || got.FloorOhms != 0 || got.Shared != "" || got.Assumed || got.Warnings != nil {
		t.Errorf("%+v, %v", got, err)
	}
	p.TolerancePercent = math.NaN()
	if _, err := (Instruments{}).Measure(p); err == nil || !strings.Contains(err.Error(), "no tolerance_percent") {
		t.Errorf("without a tolerance: %v", err)
	}
}

func TestMeasureWarnsOfTwoWires(t *testing.T) {
	in := instruments(t, `{"subtracted": {"gain_percent": 1, "leads": 0.2, "leads_floor": 0.1}, "four": {"gain_percent": 1, "wires": 4},
		"subtracted well": {"gain_percent": 1, "leads": 0.2, "leads_floor": 0.01}, "not subtracted": {"gain_percent": 1}, "zeroed": {"gain_percent": 1, "leads_floor": 0.1}}`)
	for _, test := range []struct{ reading, instrument, says string }{
		{"2.00", "", "part R001: 2.000 Ω read with two wires can be off by 500 mΩ (25 %) through leads and contacts, which are not subtracted; read it with four wires, or from the voltage that a known current drops across it"},
		{"2.00", "not subtracted", "off by 500 mΩ (25 %)"},
		{"2.20", "subtracted", "2.000 Ω read with two wires can be off by 100 mΩ (5 %) through contacts, though the leads are subtracted"},
		{"2.00", "zeroed", "off by 100 mΩ (5 %) through contacts, though"},
		{"2.20", "subtracted well", "off by 50 mΩ (2 %)"},
		{"4.999", "", "can be off by"},
		{"5.000", "", ""},
		{"5.20", "subtracted", ""},
		{"2.00", "four", ""},
		{"0.005", "four", ""},
	} {
		p := NewPart(ohms(t, test.reading))
		p.ID, p.Instrument = "R001", test.instrument
		got, err := in.Measure(p)
		warning := strings.Join(got.Warnings, "")
		if err != nil || (test.says == "") != (warning == "") || !strings.Contains(warning, test.says) {
			t.Errorf("%s by %q: %q, %v; want %q", test.reading, test.instrument, warning, err, test.says)
		}
	}
	got, err := in.Measure(NewPart(ohms(t, "1 ohm"))) // as in a meter's file: no id
	if err != nil || !strings.HasPrefix(got.Warnings[0], "1.000 Ω read with") {
		t.Errorf("without an id: %+v, %v", got, err)
	}
}

func TestMeasureRefuses(t *testing.T) {
	in := instruments(t, twoInstruments)
	p := NewPart(ohms(t, "0.2"))
	p.ID, p.Instrument = "R007", "hand meter"
	if _, err := in.Measure(p); err == nil || !strings.Contains(err.Error(), `part R007: the reading 200.0 mΩ is not more than the leads of "hand meter", 200.0 mΩ`) {
		t.Errorf("leads as large as the reading: %v", err)
	}
	p.Ohms = ohms(t, "0.1")
	if _, err := in.Measure(p); err == nil {
		t.Error("leads larger than the reading are taken")
	}
	p.Ohms = quantity.Value{Base: 5, Unit: quantity.Ohm}
	if _, err := in.Measure(p); err == nil || !strings.Contains(err.Error(), "part R007: the last digit of the reading is not known") {
		t.Errorf("a reading without resolution: %v", err)
	}
	p.Instrument = "brigde"
	if _, err := in.Measure(p); err == nil || err.Error() != `part R007: the instrument "brigde" is not defined; those that are: "bridge", "hand meter"` {
		t.Errorf("an instrument that is not defined: %v", err)
	}
	if _, err := (Instruments)(nil).Measure(p); err == nil || !strings.Contains(err.Error(), `the instrument "brigde" is not defined, nor is any`) {
		t.Errorf("no instruments at all: %v", err)
	}
}

// Bird, Electrical Circuit Theory and Technology, 2nd ed., ch 10 Ex 20 p 132:
// 36.5 V on a 50 V range and 6.25 A on a 10 A range, both 2 % of full scale.
func TestPublishedDropMeasurement(t *testing.T) {
	d := DropMeasurement{Volts: 36.5, FloorVolts: 0.02 * 50, Amperes: 6.25, FloorAmperes: 0.02 * 10, Shared: "drop"}
	got, err := d.Measured()
	if err != nil || math.Abs(got.Ohms-5.84) > 1e-12 || math.Abs(got.LimitOhms()-0.34688) > 1e-12 || got.Shared != "drop" || got.GainPercent != 0 {
		t.Errorf("%+v, %v, limit %v; want 5.84 ± 0.34688 Ω", got, err, got.LimitOhms())
	}
	// The same 2 % of the readings: 4 % of the resistance.
	d = DropMeasurement{Volts: 36.5, VoltsGainPercent: 2, Amperes: 6.25, AmperesGainPercent: 2}
	if got, err := d.Measured(); err != nil || got.GainPercent != 4 || got.FloorOhms != 0 || got.Shared != "" {
		t.Errorf("%+v, %v", got, err)
	}
}

// To first order no readings within their limits give a resistance outside its
// limit, and the worst pair reaches it.
func TestDropMeasurementIsTheWorstCase(t *testing.T) {
	d := DropMeasurement{Volts: 0.05, VoltsGainPercent: 0.01, FloorVolts: 2e-6, Amperes: 1, AmperesGainPercent: 0.02, FloorAmperes: 5e-5}
	got, err := d.Measured()
	if err != nil {
		t.Fatal(err)
	}
	volts := d.Volts*d.VoltsGainPercent/100 + d.FloorVolts
	amperes := d.Amperes*d.AmperesGainPercent/100 + d.FloorAmperes
	worst := (d.Volts+volts)/(d.Amperes-amperes) - got.Ohms
	if math.Abs(worst/got.LimitOhms()-1) > 1e-3 {
		t.Errorf("worst case %v, limit %v", worst, got.LimitOhms())
	}
}

func TestDropMeasurementRefuses(t *testing.T) {
	good := DropMeasurement{Volts: 1, Amperes: 1}
	for _, change := range []func(*DropMeasurement){
		func(d *DropMeasurement) { d.Volts = 0 },
		func(d *DropMeasurement) { d.Volts = math.Inf(1) },
		func(d *DropMeasurement) { d.Amperes = -1 },
		func(d *DropMeasurement) { d.Amperes = math.NaN() },
		func(d *DropMeasurement) { d.VoltsGainPercent = -1 },
		func(d *DropMeasurement) { d.FloorVolts = math.NaN() },
		func(d *DropMeasurement) { d.AmperesGainPercent = math.Inf(1) },
		func(d *DropMeasurement) { d.FloorAmperes = -1e-9 },
	} {
		d := good
		change(&d)
		if got, err := d.Measured(); err == nil || !strings.HasPrefix(err.Error(), "resistance from ") {
			t.Errorf("%+v: %+v, %v", d, got, err)
		}
	}
}

func FuzzParseInstruments(f *testing.F) {
	for _, text := range []string{twoInstruments, "{}", `{"a": {"gain_percent": "1 %"}} x`, `{"a": {"gain_percent": 1e3, "wires": 4, "floor": null}}`, "{\"\\ud800\": 1}", "["} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		in, err := ParseInstruments("f", []byte(text))
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
