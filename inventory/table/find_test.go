package table

import (
	"slices"
	"strings"
	"testing"
)

// volts is a column as a caller describes one.
var volts = Column{Name: "volts", Also: []string{"volt", "spannung", "max voltage"}, Unit: func(text string, alone bool) bool {
	return text == "V" || text == "kV" || !alone && text == "k"
}}

func TestFind(t *testing.T) {
	place := Column{Name: "place", Also: []string{"ort"}}
	for _, test := range []struct {
		header       string
		volts, place Found
	}{
		{"volts,place", Found{0, ""}, Found{1, ""}},
		{" VOLTS ,Place", Found{0, ""}, Found{1, ""}},
		{"Ort,Volt", Found{1, ""}, Found{0, ""}},
		{"Spannung (kV),x", Found{0, "kV"}, Found{At: -1}},
		{"x,Spannung [V]", Found{1, "V"}, Found{At: -1}},
		{"x,volts / kV", Found{1, "kV"}, Found{At: -1}},
		{"Spannung in V", Found{0, "V"}, Found{At: -1}},
		{"Max_Voltage kV", Found{0, "kV"}, Found{At: -1}},
		{"max  voltage (k)", Found{0, "k"}, Found{At: -1}},
		{"k", Found{At: -1}, Found{At: -1}},
		{"kV", Found{0, "kV"}, Found{At: -1}},
		{"kv", Found{At: -1}, Found{At: -1}}, // a unit's case counts: mV is not MV
		{"Spannung (A)", Found{At: -1}, Found{At: -1}},
		{"place old,place (V)", Found{At: -1}, Found{At: -1}}, // words behind a name of no unit make it another
		{"Volt,volts,Ort,place", Found{1, ""}, Found{3, ""}},  // the program's own name comes first
		{"Ort,place,kV", Found{2, "kV"}, Found{1, ""}},
		{"volt,volts (kV)", Found{1, "kV"}, Found{At: -1}},
	} {
		table := mustParse(t, test.header+"\n"+strings.Repeat(",", strings.Count(test.header, ","))+"\n")
		got, err := table.Find(volts, place)
		if want := []Found{test.volts, test.place}; err != nil || !slices.Equal(got, want) {
			t.Errorf("%q: %v, %v; want %v", test.header, got, err, want)
		}
	}
}

func TestFindRefuses(t *testing.T) {
	place := Column{Name: "place", Also: []string{"ort"}, Needed: true}
	for header, want := range map[string]string{
		"a,place,b,Place ":      `d.csv:1:11: columns 2 and 4 are both called "Place"; rename one`,
		"place,Volt,kV":         `d.csv:1:12: columns 2 and 3, "Volt" and "kV", can both be "volts"; rename one`,
		"place,Volt,Spannung":   `d.csv:1:12: columns 2 and 3, "Volt" and "Spannung", can both be "volts"; rename one`,
		"volts,x":               `d.csv:1:1: there is no column "place"; the columns are ["volts" "x"], and it must be there`,
		"place,volts,volts (V)": `d.csv:1:13: columns 2 and 3, "volts" and "volts (V)", can both be "volts"; rename one`,
	} {
		if _, err := mustParse(t, header+"\n").Find(volts, place); err == nil || err.Error() != want {
			t.Errorf("%q: %v, want %s", header, err, want)
		}
	}
	ort := Column{Name: "shelf", Also: []string{"ort"}}
	_, err := mustParse(t, "x,Ort\n").Find(Column{Name: "place", Also: []string{"ort"}}, ort)
	if want := `d.csv:1:3: column 2, "Ort", could be "place" as well as "shelf"; rename it`; err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
	if got, err := mustParse(t, "Ort,place\n").Find(Column{Name: "shelf", Also: []string{"place"}}, Column{Name: "place", Also: []string{"ort"}}); err != nil || got[0].There() || got[1].At != 1 {
		t.Errorf("another's own name: %v, %v", got, err)
	}
	two := Column{Name: "id", Needed: true}
	_, err = mustParse(t, "x\n").Find(two, place)
	if want := `d.csv:1:1: there is no column "id"; the columns are ["x"], and id, place must be there`; err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}

func TestUnitOf(t *testing.T) {
	for header, want := range map[string][2]string{
		"Wert":          {"Wert", ""},
		"Wert (kOhm)":   {"Wert", "kOhm"},
		"Wert [ kΩ ]":   {"Wert", "kΩ"},
		"R/kΩ":          {"R", "kΩ"},
		"R in MΩ":       {"R", "MΩ"},
		"R, Ohm":        {"R", "Ohm"},
		"value k Ohm":   {"value k", "Ohm"},
		"value (k Ohm)": {"value", "k Ohm"},
		"(kOhm)":        {"(kOhm)", ""},
		"":              {"", ""},
		")(":            {")(", ""},
	} {
		if name, unit := UnitOf(header); name != want[0] || unit != want[1] {
			t.Errorf("%q: %q and %q, want %q", header, name, unit, want)
		}
	}
}

func TestDecimalComma(t *testing.T) {
	for text, want := range map[string]bool{
		"a;b\n1,5;x.y\n":    true,
		"a;b\n1.5;x,y\n":    false,
		"a;b\n1;2\n":        true,
		"a,b\n\"1,5\",2\n":  false,
		"a;b\n1.5;\n1,5;\n": true,
		"a;b\n":             true,
	} {
		if got := mustParse(t, text).DecimalComma(Found{At: 0}, Found{At: -1}); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}
