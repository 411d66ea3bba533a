package inventory

import (
	"errors"
	"math"
	"strings"
	"testing"

	"shuntwright/inventory/instrument"
	"shuntwright/inventory/table"
	"shuntwright/meter/quantity"
)

const twoInstruments = `{"hand meter": {"gain_percent": 0.8, "counts": 1, "leads": "0.2 ohm", "leads_floor": "0.03 ohm"},
 "bridge": {"gain_percent": 0.05, "floor": "0.5 mohm", "wires": 4}}
`

func instruments(t *testing.T, text string) Instruments {
	t.Helper()
	in, err := instrument.Parse("i.json", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return in
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
		if got.ID != "R001" || got.Shared != test.want.Shared || got.Assumed != test.want.Assumed || got.Stated != "" || got.Marked || got.TwoWires != nil {
			t.Errorf("%s: %+v, want %+v", test.name, got, test.want)
		}
	}
}

// A part that is marked and was never measured errs on its own.
// Of what somebody has taken the leads off already none are taken again, and of
// what is trimmed by four wires there are none: the gain error is of the whole.
func TestMeasureWithoutLeads(t *testing.T) {
	in := instruments(t, twoInstruments)
	p := NewPart(ohms(t, "0.150"))
	p.Instrument = "hand meter"
	if _, err := in.Measure(p); err == nil {
		t.Error("a reading of less than the leads is taken")
	}
	stands, err := in.AsItStands(p)
	if err != nil || stands.Ohms != 0.15 || stands.GainPercent != 0.8 || math.Abs(stands.FloorOhms-0.031) > 1e-15 {
		t.Errorf("as it stands: %+v, %v", stands, err)
	}
	trimmed, err := in.Trimmed(p)
	if err != nil || trimmed.Ohms != 0.15 || trimmed.GainPercent != 0.8 || math.Abs(trimmed.FloorOhms-0.001) > 1e-15 || trimmed.TwoWires != nil {
		t.Errorf("trimmed: %+v, %v", trimmed, err)
	}
	p.Instrument = "nobody's"
	if _, err := in.Trimmed(p); err == nil {
		t.Error("an instrument that nobody described is taken")
	}
}

func TestMeasureMarkedPart(t *testing.T) {
	p := NewPart(quantity.Value{})
	p.ID, p.Nominal, p.TolerancePercent, p.Instrument = "R001", ohms(t, "2R2"), 5, "no matter"
	got, err := Instruments{}.Measure(p)
	if err != nil || got.Ohms != 2.2 || got.GainPercent != 5 || got.FloorOhms != 0 || got.Shared != "" || got.Assumed || !got.Marked || got.ID != "R001" || got.TwoWires != nil {
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
		{"2.00", "", "part R001: 2.000 Ω by two wires may be 500 mΩ off (25 %): help limits"},
		{"2.00", "not subtracted", "500 mΩ off (25 %)"},
		{"2.20", "subtracted", "2.000 Ω by two wires may be 100 mΩ off (5 %)"},
		{"2.00", "zeroed", "100 mΩ off (5 %)"},
		{"2.20", "subtracted well", "50 mΩ off (2 %)"},
		{"4.999", "", "may be 500 mΩ off"},
		{"5.000", "", ""},
		{"5.20", "subtracted", ""},
		{"2.00", "four", ""},
		{"0.005", "four", ""},
	} {
		p := NewPart(ohms(t, test.reading))
		p.ID, p.Instrument = "R001", test.instrument
		got, err := in.Measure(p)
		warning := strings.Join(instrument.Warnings([]*instrument.TwoWires{got.TwoWires}), "")
		if err != nil || (test.says == "") != (warning == "") || !strings.Contains(warning, test.says) {
			t.Errorf("%s by %q: %q, %v; want %q", test.reading, test.instrument, warning, err, test.says)
		}
	}
	got, err := in.Measure(NewPart(ohms(t, "1 ohm"))) // as in a meter's file: no id
	if err != nil || got.TwoWires == nil || got.TwoWires.Of != "" || got.TwoWires.Ohms != 1 {
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

// What is stated for readings without a named instrument takes the place of
// what is assumed; no part can name it.
func TestMeasureByStatedAccuracy(t *testing.T) {
	stated, err := instrument.ParseAccuracy("0.5 % + 2 counts + 0.1 ohm")
	if err != nil {
		t.Fatal(err)
	}
	in := Instruments{Unnamed: stated}
	p := NewPart(ohms(t, "10.91"))
	p.ID = "R001"
	m, err := in.Measure(p)
	if want := 0.005*10.91 + 2*0.01 + 0.1; err != nil || math.Abs(m.LimitOhms()-want) > 1e-12 || m.Assumed || m.Stated != "0.5 % + 2 counts + 0.1 ohm" || m.Shared != Unnamed {
		t.Errorf("%+v with limit %v, %v; want %v", m, m.LimitOhms(), err, want)
	}
	p.GainPercent, p.FloorOhms = 1, 0.2 // the part's own limits say all
	if m, err := in.Measure(p); err != nil || m.Stated != "" || m.Assumed {
		t.Errorf("limits of its own: %+v, %v", m, err)
	}
	p.Instrument = Unnamed
	if _, err := in.Measure(p); err == nil || !strings.Contains(err.Error(), `"(unnamed)" is not defined, nor is any`) {
		t.Errorf("a part that names it: %v", err)
	}
}

// An error about a part in the file says where it stands there; one about a
// part that was added since cannot.
func TestDrawerMeasureSaysWhere(t *testing.T) {
	d := drawer(t, "note,id,ohms,instrument\n,R001,10,bridge\nΩ,R002,0.1,leads\n")
	in := instruments(t, `{"leads": {"gain_percent": 1, "leads": "0.2 ohm"}}`)
	for at, says := range []string{
		`d.csv:2:10: part R001: the instrument "bridge" is not defined; those that are: "leads"`,
		`d.csv:3:8: part R002: the reading 100.0 mΩ is not more than the leads of "leads", 200.0 mΩ`,
	} {
		_, err := d.Measure(in, at)
		var wrong *table.Error
		if !errors.As(err, &wrong) || !strings.HasPrefix(err.Error(), says) {
			t.Errorf("part %d: %v", at, err)
		}
	}
	p := NewPart(ohms(t, "5"))
	p.Instrument = "bridge"
	if _, err := d.Add(p); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Measure(in, 2); err == nil || !strings.HasPrefix(err.Error(), "part R003: the instrument") {
		t.Errorf("an added part: %v", err)
	}
	if m, err := drawer(t, "id,ohms\nR001,10\n").Measure(nil, 0); err != nil || m.Ohms != 10 || m.ID != "R001" {
		t.Errorf("%+v, %v", m, err)
	}
}
