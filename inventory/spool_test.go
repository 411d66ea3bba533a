package inventory

import (
	"math"
	"strings"
	"testing"

	"shuntwright/inventory/instrument"
	"shuntwright/meter/quantity"
)

func spool(t *testing.T) *Drawer {
	t.Helper()
	d, err := ParseDrawer("d.csv", strings.NewReader("id;ohms;metres;amperes;note\nW001;9,98 ohm/m;5;0,5;\nR001;4,7;;;x\n"))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestSpoolIsKeptAsTyped(t *testing.T) {
	d := spool(t)
	p, _, _ := d.Find("W001")
	if !p.IsSpool() || p.Ohms.Base != 9.98 || p.Metres != 5 || p.Amperes != 0.5 {
		t.Fatalf("%+v", p)
	}
	if r, _, _ := d.Find("R001"); r.IsSpool() || !math.IsNaN(r.Metres) {
		t.Errorf("%+v is wire", r)
	}
	if err := d.Cut("W001", 0.0433); err != nil {
		t.Fatal(err)
	}
	if got := string(d.bytes()); !strings.Contains(got, "W001;9,98 ohm/m;4,9567;0,5;") {
		t.Errorf("cut: %s", got)
	}
	if err := d.Cut("W001", -0.0433); err != nil || !strings.Contains(string(d.bytes()), "W001;9,98 ohm/m;5;0,5;") {
		t.Errorf("given back: %v %s", err, d.bytes())
	}
	for id, want := range map[string]string{"W001": "5.000 m left, and 6.000 m are wanted", "R001": "no spool", "W009": "W009"} {
		if err := d.Cut(id, 6); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("6 m off %s: %v", id, err)
		}
	}
	p.ID = ""
	if added, err := d.Add(p); err != nil || added.ID != "W002" {
		t.Errorf("added %s, %v", added.ID, err)
	}
}

func TestSpoolRefusals(t *testing.T) {
	for text, want := range map[string]string{
		"id,ohms\nW1,9.98 ohm/m\n":          "has no length",
		"id,ohms,metres\nR1,9.98,5\n":       "metres are of wire",
		"id,ohms,metres\nW1,9 ohm/m,-1\n":   "negative",
		"id,ohms,nominal\nR1,4.7,4 ohm/m\n": "resistance",
	} {
		if _, err := ParseDrawer("d.csv", strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}

// A piece is trusted to its instrument and to half a millimetre of its wire:
// 43.3 mm of 9.98 Ω/m is 432 mΩ, ±5 mΩ through its joints.
func TestMeasureWire(t *testing.T) {
	p, _, _ := spool(t).Find("W001")
	p.Instrument = "bridge"
	in := Instruments{"bridge": instrument.Instrument{GainPercent: 0.05, FloorOhms: 0.0005, Wires: 4}}
	m, err := in.MeasureWire(p, 0.0433)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(m.Ohms-0.432134) > 1e-9 || m.GainPercent != 0.05 || math.Abs(m.FloorOhms-(0.0005+0.0005*9.98)) > 1e-12 || m.Shared != "bridge" || m.Assumed {
		t.Errorf("%+v", m)
	}
	p.Instrument = ""
	if m, _ := (Instruments{}).MeasureWire(p, 0.0433); !m.Assumed || m.GainPercent != 0.8 || math.Abs(m.FloorOhms-(0.0001+0.0005*9.98)) > 0.0011 || m.TwoWires != nil {
		t.Errorf("by a hand-held meter: %+v", m)
	}
	p.Ohms.Base = 0.98
	if m, _ := (Instruments{}).Measure(p); m.TwoWires == nil || m.TwoWires.Of != "a metre of W001" || m.TwoWires.Ohms != 0.98 {
		t.Errorf("a metre read with two wires: %+v", m)
	}
	p.TolerancePercent = 5
	if m, _ := (Instruments{}).Measure(p); m.TwoWires != nil {
		t.Errorf("wire by a table: %+v", m)
	}
	r := NewPart(quantity.Value{Base: 4.7, Unit: quantity.Ohm})
	if _, err := in.MeasureWire(r, 1); err == nil {
		t.Error("a length of a resistor is taken")
	}
}

// Wire without its unit would be read back as a resistor.
func TestSpoolSaysItsUnit(t *testing.T) {
	for header, want := range map[string]string{"id,ohms,metres\n": "W001,5 ohm/m,2", "id;ohms;metres\n": "W001;5,5 ohm/m;2"} {
		d := drawer(t, header)
		typed := "5"
		if strings.Contains(header, ";") {
			typed = "5.5"
		}
		v, err := quantity.Parse(typed, quantity.OhmPerMetre, quantity.Positive)
		if err != nil {
			t.Fatal(err)
		}
		p := NewPart(v)
		p.Metres = 2
		if _, err := d.Add(p); err != nil || !strings.HasSuffix(string(d.bytes()), want+"\n") {
			t.Errorf("%q, %v; want %s", d.bytes(), err, want)
		}
	}
}
