package inventory

import (
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Ids that are given do not meet those that stand further down, nor those of
// the drawer.
func TestAddAll(t *testing.T) {
	d := drawer(t, "id,ohms\nR002,10\n")
	var parts []Part
	for _, id := range []string{"", "R003", "", "x"} {
		p := NewPart(ohms(t, "5"))
		p.ID = id
		parts = append(parts, p)
	}
	added, err := d.AddAll(parts)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"R004", "R003", "R005", "x"} {
		if added[i].ID != want {
			t.Errorf("part %d is called %q, want %q", i, added[i].ID, want)
		}
	}
	if want := "id,ohms\nR002,10\nR004,5\nR003,5\nR005,5\nx,5\n"; string(d.bytes()) != want || parts[0].ID != "" {
		t.Errorf("%q, want %q", d.bytes(), want)
	}
	if _, err := d.AddAll(parts); err == nil || !strings.Contains(err.Error(), `the id "R003" is in the drawer already`) {
		t.Errorf("once more: %v", err)
	}
}

// list reads a list from a file that holds a text.
func list(t *testing.T, text string) (*List, error) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "f.csv")
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return ReadList(path, nil)
}

func TestReadList(t *testing.T) {
	read := func(text string) ([]Part, error) {
		l, err := list(t, text)
		if err != nil {
			return nil, err
		}
		return l.Parts, errors.Join(l.Refused...)
	}
	parts, err := read("place;ohms\ntray;10,91\n;4k7\n")
	if err != nil || len(parts) != 2 || parts[0].ID != "" || parts[0].Place != "tray" || parts[1].Ohms.Base != 4700 {
		t.Errorf("%+v, %v", parts, err)
	}
	parts, err = read("id,ohms\n,1\nR001,2\n,3\n")
	if err != nil || len(parts) != 3 || parts[0].ID != "" || parts[1].ID != "R001" {
		t.Errorf("%+v, %v", parts, err)
	}
	for text, says := range map[string]string{
		"id\nR001\n":                  `f.csv:1:1: there is no column "ohms"`,
		"ohms,id\n1,R001\n2,R001\n":   `f.csv:3:3: the id "R001" stands in line 2 already`,
		"id,ohms\na b,1\n":            `f.csv:2:1: `,
		"ohms\n0\n":                   `f.csv:2:1: ohms "0" is zero`,
		"nominal,ohms\n,2\n4k7,\n":    `f.csv:3:5: the part has no reading and no tolerance_percent`,
		"id,nominal,ohms\n,,2\nx,,\n": `f.csv:3:4: the part "x" has no resistance`,
		"ohms,Nr,,\n1,2,,3\n":         `f.csv:1:10: column 4 has no name and is not empty`,
		"Nr,ohms,nr\n1,2,3\n":         `f.csv:1:9: columns 1 and 3 are both called "nr"`,
	} {
		if got, err := read(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %+v, %v; want %q", text, got, err, says)
		}
	}
	if _, err := ReadList(filepath.Join(t.TempDir(), "none"), nil); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("no file: %v", err)
	}
}

// What a list says in columns that mean nothing here goes into the drawer with
// the part, under the same name.
func TestAddList(t *testing.T) {
	d := drawer(t, "id,ohms, nr \nR001,10,7\n")
	l, err := list(t, "Nr;ohms;Shelf;empty;note\n8;4,7k;\"a;b\";;x\n;5;;;\n\n9;6;c;;\n")
	if err != nil {
		t.Fatal(err)
	}
	if own := l.Own(); !slices.Equal(own, []string{"Nr", "Shelf"}) {
		t.Errorf("own columns %q", own)
	}
	added, err := d.AddList(l)
	if err != nil || len(added) != 3 {
		t.Fatalf("%v, %v", added, err)
	}
	want := "id,ohms, nr ,note,Shelf\nR001,10,7,,\nR002,\"4,7k\",8,x,a;b\nR003,5,,,\nR004,6,9,,c\n"
	if string(d.bytes()) != want {
		t.Errorf("%q, want %q", d.bytes(), want)
	}
	if _, err := ParseDrawer("again", strings.NewReader(string(d.bytes()))); err != nil {
		t.Error(err)
	}
}

func TestAlike(t *testing.T) {
	rows := []string{"4.71k,,,,", "4710,,,,", "4.72k,,,,", "4.71k,0.5,,,", "4.71k,,50,,", "4.71k,,+50,,", "4.71k,,,tray,", "4.71k,,,,m: shunt"}
	read := func(row string) Part {
		return part(t, drawer(t, "id,ohms,watts,tempco_ppm,place,fitted\nA,"+row+"\n"), "A")
	}
	for i, a := range rows {
		for j, b := range rows {
			if got := Alike(read(a), read(b)); got != (i == j) {
				t.Errorf("%q and %q alike: %v", a, b, got)
			}
		}
	}
	if !Alike(read("4.71k,,,,"), read(" 4k71 ,, , ,")) {
		t.Error("4.71k and 4k71 are not alike")
	}
}

// A part is in the drawer already where it is all that the list says; of parts
// that are alike in both, each counts once.
func TestListIn(t *testing.T) {
	d := drawer(t, "id,ohms,nominal,tolerance_percent,place,note,Nr,fitted\nA,4.71k,4k7,,tray 1,mine,1,m: shunt\nB,4.71k,4k7,,tray 1,,2,\nC,10,,,,,,\nD,,10k,5,,,,\n")
	for _, test := range []struct {
		list string
		want []string
	}{
		{"ohms,nominal,place\n4710,,\n4.71 kohm,4.7 k, tray 1 \n4.71k,,\n4.71k,,\n", []string{"", "A", "B", ""}},
		{"ohms,nr\n4.71k,2\n4.71k,3\n10,\n", []string{"B", "", "C"}},
		{"ohms,Row\n4.71k,77\n10,78\n", []string{"A", "C"}},
		{"ohms,place\n4.71k,tray 2\n10,tray 2\n", []string{"", ""}},
		{"ohms,id\n4.71k,A\n10,\n", []string{"", "C"}},
		{"ohms,nominal,tolerance_percent\n10.0,,5\n,10k,5\n", []string{"", "D"}},
	} {
		l, err := list(t, test.list)
		if err != nil {
			t.Errorf("%q: %v", test.list, err)
			continue
		}
		if got := l.In(d); !slices.Equal(got, test.want) {
			t.Errorf("%q: %q, want %q", test.list, got, test.want)
		}
	}
}

// What the columns of a list are taken for; what a caller names comes first, and
// what it keeps is nothing else.
func TestTaken(t *testing.T) {
	const text = "Value,Reading,Max Volt,W,Nr\n5,5.1,250,1,7\n,,,,8\n6,6.1,,1,\n"
	path := filepath.Join(t.TempDir(), "f.csv")
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	read := func(named map[string]string, kept ...string) (string, []Taken, error) {
		l, err := ReadList(path, named, kept...)
		if err != nil {
			return "", nil, err
		}
		var out []string
		for _, taken := range l.Taken() {
			out = append(out, taken.Column)
		}
		if len(l.Refused) != 1 || len(l.Parts) != 2 {
			t.Errorf("refused %v, parts %+v", l.Refused, l.Parts)
		}
		return strings.Join(out, ","), l.Doubtful(), nil
	}
	for _, test := range []struct {
		named map[string]string
		kept  []string
		want  string
		doubt string
	}{
		{map[string]string{"ohms": "reading", "nominal": " VALUE "}, nil, "nominal,ohms,,watts,", "volts"},
		{map[string]string{"ohms": "Reading", "volts": "Max Volt"}, nil, ",ohms,volts,watts,", ""},
		{map[string]string{"ohms": "Value"}, []string{"Max Volt", "W"}, "ohms,,,,", ""},
		{map[string]string{"ohms": "Value", "id": "Nr", "volts": "Max Volt"}, nil, "ohms,,volts,watts,id", ""},
	} {
		got, doubts, err := read(test.named, test.kept...)
		doubt := ""
		if len(doubts) > 0 {
			doubt = doubts[0].Column
		}
		if err != nil || got != test.want || doubt != test.doubt {
			t.Errorf("%v, %q kept: %s, %v, %v; want %s, %q", test.named, test.kept, got, doubts, err, test.want, test.doubt)
		}
	}
	for wrong, named := range map[string]map[string]string{
		`f.csv:1:7: columns 1 and 2, "Value" and "Reading", can both be "ohms"; rename one`:            nil,
		`f.csv:1:1: there is no column "Wert"; the columns are ["Value" "Reading"`:                     {"ohms": "Wert"},
		`f.csv:1:1: column 1, "Value", could be "Value" as well as "Value"`:                            {"ohms": "Value", "nominal": "Value"},
		`f.csv:1:15: column "Max Volt" is in Volt, which watts are not; rename it where that is wrong`: {"ohms": "Value", "watts": "Max Volt"},
	} {
		if _, _, err := read(named); err == nil || !strings.Contains(err.Error(), wrong) {
			t.Errorf("%v: %v, want %s", named, err, wrong)
		}
	}
}

func TestDoubtful(t *testing.T) {
	for heading, want := range map[string]string{
		"max V": "volts", "Prüfspannung": "volts", "U (kV)": "volts", "V at 70 C": "volts", "breakdown voltage": "volts", "Type W": "watts", "Nennleistung bei 70 C": "watts",
		"rated mW": "watts", "Power rating 70": "watts", "Nr": "", "colour": "", "Value2": "", "Wv": "", "extension": "",
	} {
		l, err := list(t, "ohms,"+heading+"\n5,250\n")
		if err != nil {
			t.Errorf("%s: %v", heading, err)
			continue
		}
		got := ""
		for _, taken := range append(l.Doubtful(), l.Taken()[1]) {
			got = taken.Column
			break
		}
		if got != want {
			t.Errorf("%q may be %q, want %q", heading, got, want)
		}
	}
	if l, err := list(t, "ohms,V,max V\n5,250,1000\n"); err != nil || len(l.Doubtful()) > 0 {
		t.Errorf("volts are there: %v, %v", l, err)
	}
}

// A column that is to stay the list's own never becomes a rating in the drawer.
func TestKeptStaysOwn(t *testing.T) {
	path := filepath.Join(t.TempDir(), "f.csv")
	if err := os.WriteFile(path, []byte("ohms,Volt\n5,1000\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	l, err := ReadList(path, nil, "Volt")
	if err != nil {
		t.Fatal(err)
	}
	d := drawer(t, "id,ohms\nR001,1\n")
	if _, err := d.AddList(l); err != nil {
		t.Fatal(err)
	}
	if want := "id,ohms,volts,Volt\nR001,1,,\nR002,5,,1000\n"; string(d.bytes()) != want {
		t.Errorf("%q, want %q", d.bytes(), want)
	}
	again, err := ParseDrawer("again", strings.NewReader(string(d.bytes())))
	if err != nil || !math.IsNaN(again.Parts()[1].Volts) || again.Own("R002")["Volt"] != "1000" {
		t.Errorf("%+v, %v", again.Parts(), err)
	}
}
