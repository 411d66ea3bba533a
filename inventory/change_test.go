package inventory

import (
	"math"
	"slices"
	"strings"
	"testing"

	"shuntwright/meter/quantity"
)

func TestAddGivesIDs(t *testing.T) {
	for name, test := range map[string]struct {
		ids  []string
		want string
	}{
		"first":             {nil, "R001"},
		"next":              {[]string{"R001"}, "R002"},
		"largest counts":    {[]string{"R007", "R003"}, "R008"},
		"gaps stay":         {[]string{"R001", "R005"}, "R006"},
		"beyond 999":        {[]string{"R999"}, "R1000"},
		"short numbers":     {[]string{"R12"}, "R013"},
		"names do not":      {[]string{"R12a", "X50", "R", "r77", "R-3", "R+8x"}, "R001"},
		"too long a number": {[]string{"R" + strings.Repeat("9", 40)}, "R001"},
		"the longest":       {[]string{"R" + strings.Repeat("9", 17), "R1" + strings.Repeat("0", 17)}, "R1" + strings.Repeat("0", 16) + "1"},
	} {
		d := drawer(t, "id,ohms\n")
		for _, id := range test.ids {
			p := NewPart(ohms(t, "1"))
			p.ID = id
			if _, err := d.Add(p); err != nil && id != "R+8x" {
				t.Fatal(err)
			}
		}
		p, err := d.Add(NewPart(ohms(t, "4.70")))
		if err != nil || p.ID != test.want || p.Ohms.Text != "4.70" {
			t.Errorf("%s: %+v, %v, want %s", name, p, err, test.want)
		}
	}
}

// The number of a part that is gone is free, the largest one too, unless it is spent.
func TestAddAfterRemove(t *testing.T) {
	d := drawer(t, "id,ohms\nR001,1\nR002,2\nR003,3\n")
	for _, id := range []string{"R003", "R001"} {
		if err := d.Remove(id); err != nil {
			t.Fatal(err)
		}
	}
	if p, err := d.Add(NewPart(ohms(t, "4"))); err != nil || p.ID != "R003" {
		t.Errorf("%+v, %v, want R003", p, err)
	}
	d.Spend("R007")
	if err := d.Remove("R003"); err != nil {
		t.Fatal(err)
	}
	if p, err := d.Add(NewPart(ohms(t, "4"))); err != nil || p.ID != "R008" {
		t.Errorf("%+v, %v, want R008", p, err)
	}
}

// The value counts, not a text that came with it.
func TestAddValuesOfOtherTexts(t *testing.T) {
	for want, v := range map[string]quantity.Value{
		"10":   {Text: "4.7", Base: 10, Unit: quantity.Ohm},
		"10.5": {Base: 10.5, Unit: quantity.Ohm},
		"4.70": {Text: "4.70", Base: 4.7, Unit: quantity.Ohm},
	} {
		p, err := drawer(t, "id,ohms\n").Add(NewPart(v))
		if err != nil || p.Ohms.Text != want || p.Ohms.Base != v.Base {
			t.Errorf("%+v is %+v, %v, want %s", v, p.Ohms, err, want)
		}
	}
}

func TestChangesTouchTheirCellsOnly(t *testing.T) {
	type change func(*testing.T, *Drawer) error
	add := func(text string, more func(*Part)) change {
		return func(t *testing.T, d *Drawer) error {
			p := NewPart(ohms(t, text))
			if more != nil {
				more(&p)
			}
			_, err := d.Add(p)
			return err
		}
	}
	replace := func(id string, change func(*Part)) change {
		return func(t *testing.T, d *Drawer) error {
			p := part(t, d, id)
			change(&p)
			return d.Replace(p)
		}
	}
	remeasure := func(id, text string) change {
		return func(t *testing.T, d *Drawer) error {
			return replace(id, func(p *Part) { p.Ohms = ohms(t, text) })(t, d)
		}
	}
	tests := []struct {
		name, before string
		change       change
		after        string
	}{
		{"add", "mine,id,ohms\nx,R001,1.0\n", add("4k7", nil), "mine,id,ohms\nx,R001,1.0\n,R002,4k7\n"},
		{"add, no line end", "id,ohms\r\nR001,1.0", add("2", nil), "id,ohms\r\nR001,1.0\r\nR002,2\r\n"},
		{"add with a new column", "id,ohms\nR001,1.0\n", add("2", func(p *Part) { p.Watts = 0.25 }), "id,ohms,watts\nR001,1.0,\nR002,2,0.25\n"},
		{"add to commas", "id;ohms\nR001;1,0\n", add("4.700", func(p *Part) { p.Kind = "a;b" }), "id;ohms;kind\nR001;1,0;\nR002;4,700;\"a;b\"\n"},
		{"add to semicolons without fractions", "id;ohms\nR001;1\n", add("4.7", nil), "id;ohms\nR001;1\nR002;4,7\n"},
		{"add to semicolons with points", "id;ohms\nR001;1.000\n", add("4,7", nil), "id;ohms\nR001;1.000\nR002;4.7\n"},
		{"add as typed", "id,ohms\nR001,1\n", add("4,70 kΩ", nil), "id,ohms\nR001,1\nR002,\"4,70 kΩ\"\n"},
		{"remeasure", "\ufeffid, ohms ,note\r\n\"R001\", 10.9 ,\"two\r\nlines\"\r\n\r\nR002,5,\r\n", remeasure("R001", "10.91"),
			"\ufeffid, ohms ,note\r\n\"R001\",10.91,\"two\r\nlines\"\r\n\r\nR002,5,\r\n"},
		{"remeasure to the same", "id,ohms\nR001, 10.9 \n", remeasure("R001", "10.9"), "id,ohms\nR001, 10.9 \n"},
		{"one digit more", "id,ohms\nR001,10.9\n", remeasure("R001", "10.90"), "id,ohms\nR001,10.90\n"},
		{"fit", "id,ohms,x\nR001,1.0,y\n", replace("R001", func(p *Part) { p.Fitted = "m: shunt 1 A" }), "id,ohms,x,fitted\nR001,1.0,y,m: shunt 1 A\n"},
		{"take out", "id,fitted,ohms\nR001,\"m: shunt, 1 A\",1.0\n", replace("R001", func(p *Part) { p.Fitted = "" }), "id,fitted,ohms\nR001,\"\",1.0\n"},
		{"not known any more", "id,ohms,watts\nR001,1,0.25 W\n", replace("R001", func(p *Part) { p.Watts = math.NaN() }), "id,ohms,watts\nR001,1,\n"},
		{"numbers as typed stay", "id,ohms,watts,volts\nR001,1,.250 W,250\n", replace("R001", func(p *Part) { p.Volts = 300 }), "id,ohms,watts,volts\nR001,1,.250 W,300\n"},
		{"a sign means something", "id,ohms,tempco_ppm\nR001,1,50\n", replace("R001", func(p *Part) { p.TempcoSigned = true }), "id,ohms,tempco_ppm\nR001,1,+50\n"},
		{"a negative coefficient", "id;ohms;tempco_ppm\nR001;1;50\n", replace("R001", func(p *Part) { p.TempcoPPM, p.TempcoSigned = -1.5, true }), "id;ohms;tempco_ppm\nR001;1;-1,5\n"},
		{"limits", "id;ohms\nR001;1,5\n", replace("R001", func(p *Part) { p.GainPercent, p.FloorOhms = 0.125, 0 }), "id;ohms;gain_percent;floor_ohms\nR001;1,5;0,125;0\n"},
		{"remove", "id,ohms\nR001,1\n\nR002,2\nR003,3\n", func(_ *testing.T, d *Drawer) error { return d.Remove("R001") }, "id,ohms\n\nR002,2\nR003,3\n"},
	}
	for _, test := range tests {
		d := drawer(t, test.before)
		if err := test.change(t, d); err != nil {
			t.Errorf("%s: %v", test.name, err)
		}
		if got := string(d.bytes()); got != test.after {
			t.Errorf("%s: %q, want %q", test.name, got, test.after)
		}
		sameAgain(t, test.name, d)
	}
}

// sameAgain checks that what a drawer holds is what its file says.
func sameAgain(t *testing.T, name string, d *Drawer) {
	t.Helper()
	again, err := ParseDrawer(name, strings.NewReader(string(d.bytes())))
	if err != nil {
		t.Errorf("%s: %q cannot be read: %v", name, d.bytes(), err)
		return
	}
	if got, want := again.Parts(), d.Parts(); !slices.EqualFunc(got, want, equal) {
		t.Errorf("%s: read again: %+v, want %+v", name, got, want)
	}
}

// Parts of a file with decimal commas come into one with points, and the other
// way, at their values and resolutions.
func TestAddFromAnotherDialect(t *testing.T) {
	files := []string{
		"id;ohms\nR001;4,700\nR002;4,7\nR003;10\nR004;1234,5\nR005;4,7 kOhm\n",
		"id,ohms\nR001,4.700\nR002,4.7\nR003,10\nR004,1234.5\nR005,\"4,7 kOhm\"\n",
		"id;ohms\nR001;4.700\nR002;4.7\nR003;10\nR004;1234.5\nR005;4.7 kOhm\n",
		"id\tohms\nR001\t4.700\nR002\t4.7\nR003\t10\nR004\t1234.5\nR005\t4,7 kOhm\n",
	}
	for _, from := range files {
		for _, to := range files {
			source, d := drawer(t, from), drawer(t, to)
			for _, p := range source.Parts() {
				want := p.Ohms
				p.ID = ""
				got, err := d.Add(p)
				if err != nil || got.Ohms.Base != want.Base || got.Ohms.Step != want.Step {
					t.Errorf("%q of %q to %q: %+v, %v", want.Text, from, to, got, err)
				}
			}
			sameAgain(t, to, d)
			if got := string(d.bytes()); !strings.HasPrefix(got, to) {
				t.Errorf("%q became %q", to, got)
			}
		}
	}
}

func TestChangesRefuse(t *testing.T) {
	const file = "id,ohms\nR001,1\nX2,2\n"
	with := func(change func(*Part)) Part {
		p := NewPart(ohms(t, "1"))
		p.ID = "R009"
		change(&p)
		return p
	}
	for says, p := range map[string]Part{
		`the id "R001" is in the drawer already; leave it out to get the next free one, R002`: with(func(p *Part) { p.ID = "R001" }),
		`"R 1" is no id`:                                    with(func(p *Part) { p.ID = "R 1" }),
		"has no resistance":                                 with(func(p *Part) { p.Ohms = quantity.Value{} }),
		"no tolerance_percent":                              with(func(p *Part) { p.Ohms, p.Nominal = p.Nominal, p.Ohms }),
		"watts 0 is out of range":                           with(func(p *Part) { p.Watts = 0 }),
		"volts -1 is out of range":                          with(func(p *Part) { p.Volts = -1 }),
		"gain_percent -1 is out of":                         with(func(p *Part) { p.GainPercent = -1 }),
		"floor_ohms +Inf is out of":                         with(func(p *Part) { p.FloorOhms = math.Inf(1) }),
		"tempco_ppm -5 is a limit":                          with(func(p *Part) { p.TempcoPPM = -5 }),
		`ohms "5 V" is no resistance`:                       with(func(p *Part) { p.Ohms = quantity.Value{Text: "5 V", Base: 5, Unit: quantity.Volt} }),
		`ohms "0" is no resistance`:                         with(func(p *Part) { p.Ohms = quantity.Value{Text: "0", Unit: quantity.Ohm} }),
		`nominal "" is no resistance`:                       with(func(p *Part) { p.Nominal = quantity.Value{Base: -1, Unit: quantity.Ohm} }),
		`ohms "1` + strings.Repeat("0", 30) + `" is beyond`: with(func(p *Part) { p.Ohms = quantity.Value{Base: 1e30, Unit: quantity.Ohm} }),
		`note "\x00" holds what is no text`:                 with(func(p *Part) { p.Note = "\x00" }),
		`kind "\xff" holds what is no text`:                 with(func(p *Part) { p.Kind = "\xff" }),
		`place "a\rb" holds`:                                with(func(p *Part) { p.Place = "a\rb" }),
	} {
		d := drawer(t, file)
		_, err := d.Add(p)
		if err == nil || !strings.HasPrefix(err.Error(), "add a part: ") || !strings.Contains(err.Error(), says) {
			t.Errorf("add: %v, want it to say %q", err, says)
		}
		if p.ID == "R009" {
			p.ID = "R001"
			if err := d.Replace(p); err == nil || !strings.HasPrefix(err.Error(), "change a part: ") || !strings.Contains(err.Error(), says) {
				t.Errorf("replace: %v, want it to say %q", err, says)
			}
		}
		if got := string(d.bytes()); got != file {
			t.Errorf("%s: a change that was refused made %q", says, got)
		}
	}
	d := drawer(t, file)
	for err, want := range map[error]string{
		d.Replace(with(func(*Part) {})):       `change a part: no part "R009" in the drawer; its ids go from "R001" to "X2"`,
		d.Remove("x2"):                        `remove a part: no part "x2" in the drawer; there is "X2"`,
		drawer(t, "id,ohms\n").Remove("R001"): `remove a part: no part "R001": the drawer is empty`,
	} {
		if err == nil || err.Error() != want {
			t.Errorf("%v, want %s", err, want)
		}
	}
}
