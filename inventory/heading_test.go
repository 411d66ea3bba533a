package inventory

import (
	"maps"
	"math"
	"slices"
	"strings"
	"testing"
)

// Lists as people keep them: columns go by the names that people use, and by
// the unit in them.
func TestHeadings(t *testing.T) {
	type found map[string]string // column to its value in the first row
	for text, want := range map[string]found{
		"Wert (Ohm);Watt;Volt\n4,7;0,5;250\n":               {"ohms": "4.7", "watts": "0.5", "volts": "250"},
		"Wert (kOhm);Leistung [mW];Spannung\n4,7;250;250 V": {"ohms": "4700", "watts": "0.25", "volts": "250"},
		"Wert (kOhm)\n47 ohm\n":                             {"ohms": "47"}, // a cell's own unit counts
		"R / kΩ,U/kV\n4k7,0.35\n":                           {"ohms": "4700", "volts": "350"},
		"kOhm,W,V,%\n4.7,0.5,250,5\n":                       {"ohms": "4700", "watts": "0.5", "volts": "250", "tolerance_percent": "5"},
		"MΩ\n4.7\n":                                         {"ohms": "4700000"},
		"mΩ\n4.7\n":                                         {"ohms": "0.0047"},
		"value,Power Rating (W),max_voltage\n4k7,1,350\n":   {"ohms": "4700", "watts": "1", "volts": "350"},
		"Marked,Reading,Tolerance (%)\n4k7,4.9k,10\n":       {"ohms": "4900", "nominal": "4700", "tolerance_percent": "10"},
		"Ohm;Watt;%;TK\n4,7;1/8 W;±5;±50\n":                 {"ohms": "4.7", "watts": "0.125", "tolerance_percent": "5", "tempco_ppm": "50"},
		"Ohm,Watt\n4.7,1/2\n":                               {"ohms": "4.7", "watts": "0.5"},
		"resistance in k,Type,Box\n4.7,carbon,7\n":          {"ohms": "4700", "kind": "carbon", "place": "7"},
		"ohms,value,watts,Watt\n1,2,3,4\n":                  {"ohms": "1", "watts": "3"},
		"Ohm,M,k\n1,2,3\n":                                  {"ohms": "1"}, // a prefix alone is no unit
		"Wert (Ohm),place (V)\n1,2\n":                       {"ohms": "1"},
	} {
		l, err := list(t, text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		got := found{}
		for _, c := range columns {
			if cell := c.shortest(l.Parts[0]); cell != "" {
				got[c.name] = cell
			}
		}
		if !maps.Equal(got, want) {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
	}
}

// shortest writes a field by its size alone.
func (c column) shortest(p Part) string {
	if c.value != nil && given(*c.value(&p)) {
		c.value(&p).Text = "never read"
	}
	return c.cell(p, decimals{})
}

// No text is a name of two columns, and every one is as names are compared.
func TestHeadingsAreApart(t *testing.T) {
	seen := map[string]string{}
	for _, c := range columns {
		for _, name := range append([]string{strings.ReplaceAll(c.name, "_", " ")}, c.also...) {
			if other, twice := seen[name]; twice || name != strings.ToLower(name) {
				t.Errorf("%q is a name of %s and of %s", name, other, c.name)
			}
			seen[name] = c.name
		}
	}
}

// A drawer takes its numbers under other names too, so that no rating is lost,
// but leaves its owner's texts alone.
func TestHeadingsOfADrawer(t *testing.T) {
	d := drawer(t, "id,Wert (kOhm),Volt,Typ\nR001,4.7,250,x\nR002,47 ohm,,\n")
	if p := part(t, d, "R001"); p.Ohms.Base != 4700 || p.Volts != 250 || p.Kind != "" || d.Own("R001")["Typ"] != "x" {
		t.Errorf("%+v, %q", p, d.Own("R001"))
	}
	for _, typed := range []string{"98.6", "98.6k", "4k7"} {
		p := NewPart(ohms(t, typed))
		p.Volts, p.Kind = 500, "carbon"
		added, err := d.Add(p)
		if err != nil || added.Ohms.Base != p.Ohms.Base || added.Volts != 500 {
			t.Errorf("added %+v, %v", added, err)
		}
	}
	p := part(t, d, "R001")
	p.Ohms = ohms(t, "5")
	if err := d.Replace(p); err != nil {
		t.Fatal(err)
	}
	want := "id,Wert (kOhm),Volt,Typ,kind\nR001,5 Ω,250,x,\nR002,47 ohm,,,\nR003,98.6 Ω,500,,carbon\nR004,98.6k,500,,carbon\nR005,4k7,500,,carbon\n"
	if got := string(d.bytes()); got != want {
		t.Errorf("written as\n%swant\n%s", got, want)
	}
	again, err := ParseDrawer("again", strings.NewReader(want))
	if err != nil || !slices.EqualFunc(again.Parts(), d.Parts(), Alike) {
		t.Errorf("read back as %+v, %v", again, err)
	}
}

func TestOutOfUnit(t *testing.T) {
	d := decimals{}
	for _, test := range []struct{ text, unit, want string }{
		{"98.6", "", "98.6"}, {"98.6", "Ohm", "98.6"}, {"98.6", "kOhm", "98.6 Ω"}, {"98.6k", "kOhm", "98.6k"}, {"", "kOhm", ""},
	} {
		if got := d.outOfUnit(test.text, test.unit, "Ω"); got != test.want {
			t.Errorf("%q in %q: %q, want %q", test.text, test.unit, got, test.want)
		}
	}
}

func TestSetAndFields(t *testing.T) {
	p := NewPart(ohms(t, "4.7k"))
	for _, one := range [][2]string{{"id", "R7"}, {"watts", "0.5 W"}, {"tempco_ppm", "+50"}, {"place", " tray 3 "}, {"nominal", "4k7"}} {
		if err := p.Set(one[0], one[1]); err != nil {
			t.Error(err)
		}
	}
	var got []string
	for _, f := range p.Fields() {
		got = append(got, f.Column)
	}
	if want := []string{"id", "ohms", "nominal", "watts", "tempco_ppm", "place"}; !slices.Equal(got, want) || p.Watts != 0.5 || !p.TempcoSigned || p.Place != "tray 3" {
		t.Errorf("%q, %+v", got, p)
	}
	if f := p.Fields()[3]; f.Number != 0.5 || f.Text != "" {
		t.Errorf("%+v", f)
	}
	for _, name := range got {
		if err := p.Set(name, ""); err != nil {
			t.Error(err)
		}
	}
	if len(p.Fields()) != 0 || p.TempcoSigned {
		t.Errorf("%+v", p.Fields())
	}
	for column, text := range map[string]string{"watts": "5 V", "tolerance_percent": "60", "ohms": "-1", "tempco_ppm": "x"} {
		if err := p.Set(column, text); err == nil || !math.IsNaN(p.Watts) {
			t.Errorf("%s %q is taken", column, text)
		}
	}
}

func TestRated(t *testing.T) {
	for text, want := range map[string]string{
		"0.5W": "watts", "1/2 W": "watts", "350 V": "volts", "±5%": "tolerance_percent", "5 %": "tolerance_percent", "+50 ppm/K": "tempco_ppm", "250 mW": "watts",
		"5": "", "1/2": "", "4.7 kohm": "", "50 mA": "", "": "", "W": "",
	} {
		if got, is := Rated(text); got != want || is != (want != "") {
			t.Errorf("%q: %q, %v; want %q", text, got, is, want)
		}
	}
}
