package inventory

import (
	"context"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"shuntwright/inventory/safefile"
	"shuntwright/inventory/table"
	"shuntwright/meter/quantity"
)

// ohms parses a reading as if typed.
func ohms(t testing.TB, text string) quantity.Value {
	t.Helper()
	v, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func drawer(t testing.TB, text string) *Drawer {
	t.Helper()
	d, err := ParseDrawer("d.csv", strings.NewReader(text))
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	return d
}

func part(t testing.TB, d *Drawer, id string) Part {
	t.Helper()
	p, at, found := d.Find(id)
	if !found || !equal(d.Parts()[at], p) {
		t.Fatalf("part %q is %v in %+v", id, found, d.Parts())
	}
	return p
}

// equal compares parts; NaN is NaN.
func equal(a, b Part) bool {
	for _, c := range columns {
		if c.number != nil {
			x, y := c.number(&a), c.number(&b)
			if math.IsNaN(*x) && math.IsNaN(*y) {
				*x, *y = 0, 0
			}
		}
	}
	return a == b
}

func TestParseDrawerReadsEveryColumn(t *testing.T) {
	d := drawer(t, "Kind, OHMS ,tray,id,instrument,gain_percent,floor_ohms,nominal,tolerance_percent,watts,volts,tempco_ppm,place,note,fitted\n"+
		"metal film,10.91,x,R001,hand meter,0.5,5 mohm,11R,1 %,0.25 W,250,±50,tray 3,\"a, b\",bench meter: shunt 10 mA\n"+
		" , 4k7 ,,R002,,,,,,,,+15,,,\n"+
		",0.050,,R003,,,,,,,,-20,,,\n"+
		",1,,R004,,,,,,,,50 ppm/K,,,\n")
	want := NewPart(ohms(t, "10.91"))
	want.ID, want.Instrument, want.GainPercent, want.FloorOhms = "R001", "hand meter", 0.5, 0.005
	want.Nominal, want.TolerancePercent, want.Watts, want.Volts = ohms(t, "11R"), 1, 0.25, 250
	want.TempcoPPM, want.Kind, want.Place, want.Note, want.Fitted = 50, "metal film", "tray 3", "a, b", "bench meter: shunt 10 mA"
	if got := part(t, d, "R001"); !equal(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
	want = NewPart(ohms(t, "4k7"))
	want.ID, want.TempcoPPM, want.TempcoSigned = "R002", 15, true
	if got := part(t, d, "R002"); !equal(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if got := part(t, d, "R003"); got.TempcoPPM != -20 || !got.TempcoSigned || got.Ohms.Text != "0.050" || got.Ohms.Step != 0.001 {
		t.Errorf("got %+v", got)
	}
	if got := part(t, d, "R004"); got.TempcoPPM != 50 || got.TempcoSigned {
		t.Errorf("got %+v", got)
	}
	if own := d.Own("R001"); d.Len() != 4 || len(own) != 1 || own["tray"] != "x" || len(d.Own("R002")) != 0 || d.Own("none") != nil {
		t.Errorf("%d parts, own columns %q", d.Len(), own)
	}
	if _, at, found := d.Find("none"); found || at != -1 {
		t.Errorf("found what is not there, at %d", at)
	}
}

func TestParseDrawerReadsDialects(t *testing.T) {
	for name, test := range map[string]struct{ text, want string }{
		"semicolons, decimal commas":  {"id;ohms\nR001;4,700\nR002;4k7\n", "4.7"},
		"semicolons, decimal points":  {"id;ohms\nR001;4.700\n", "4.7"},
		"semicolons, commas, a point": {"id;ohms;watts\nR001;4.7;0,25\n", "4.7"},
		"commas, decimal comma":       {"id,ohms\nR001,\"4,7\"\n", "4.7"},
		"tabs":                        {"id\tohms\nR001\t4.700\n", "4.7"},
		"tabs, decimal comma":         {"id\tohms\nR001\t4,7\n", "4.7"},
		"mark and CRLF":               {"\ufeffid,ohms\r\nR001,4.7\r\n", "4.7"},
		"spreadsheet's empty rows":    {"id,ohms\n,\nR001,4.7\n , \n\n", "4.7"},
		"all quoted":                  {"\"id\",\"ohms\"\n\"R001\",\"4.7\"\n", "4.7"},
	} {
		d := drawer(t, test.text)
		if got := part(t, d, "R001").Ohms.Base; got != 4.7 {
			t.Errorf("%s: %v, want %s", name, got, test.want)
		}
		if got := string(d.bytes()); got != test.text {
			t.Errorf("%s: written back as %q", name, got)
		}
	}
}

func TestParseDrawerRefuses(t *testing.T) {
	tests := []struct{ text, says string }{
		{"", "d.csv:1:1: the file is empty"},
		{"id,worth\nR001,1\n", `d.csv:1:1: there is no column "ohms"; the columns are ["id" "worth"], and id, ohms must be there`},
		{"nr,ohms\n", `d.csv:1:1: there is no column "id"; the columns are ["nr" "ohms"], and id, ohms must be there`},
		{"id,ohms,Ohms\n", `d.csv:1:9: columns 2 and 3 are both called "Ohms"`},
		{"id,ohms,Volt,Spannung (V)\n", `d.csv:1:14: columns 3 and 4, "Volt" and "Spannung (V)", can both be "volts"; rename one`},
		{"id,ohms\nR001,1\nR002,2\nR001,3\n", `d.csv:4:1: the id "R001" stands in line 2 already`},
		{"id,ohms\nR001,0\n", `d.csv:2:6: ohms "0" is zero; a resistance above zero belongs here`},
		{"id,ohms\nR001,-4.7\n", `d.csv:2:6: ohms "-4.7" is negative`},
		{"id,ohms\nR001,abc\n", `d.csv:2:6: ohms "abc" does not begin with a number`},
		{"id,ohms\nR001,NaN\n", `d.csv:2:6: ohms "NaN"`},
		{"id,ohms\nR001,4.7 V\n", `d.csv:2:6: ohms "4.7 V" is a voltage`},
		{"id,ohms\nR001,\"4,700\"\n", `d.csv:2:6: ohms "4,700" can be 4.700 or 4700`},
		{"id\tohms\nR001\t4,700\n", `d.csv:2:6: ohms "4,700" can be 4.700 or 4700`},
		{"id;ohms\nR001;4.700\nR002;4,7\n", `d.csv:2:6: ohms "4.700" can be 4,700 or 4700`},
		{"id,ohms\nR 1,1\n", `d.csv:2:1: "R 1" is no id`},
		{"id,ohms\nR+1,1\n", `d.csv:2:1: the id "R+1" holds '+'`},
		{"id,ohms\n5ohm,1\n", `d.csv:2:1: the id "5ohm" reads as a resistance`},
		{"id,ohms\n,1\n", `d.csv:2:1: the id is empty; write one such as R001`},
		{"id,ohms\nR001,\n", `d.csv:2:6: the part "R001" has no resistance; write its reading`},
		{"id,ohms,nominal\nR001,,4k7\n", `d.csv:2:6: the part "R001" has no reading and no tolerance_percent`},
		{"id,ohms,tolerance_percent\nR001,,5\n", `d.csv:2:6: the part "R001" has no resistance`},
		{"id,ohms\nR001\n", "d.csv:2:1: the row has 1 cells and the header 2"},
		{"id,ohms\nR001,1,2\n", "d.csv:2:8: the row has 3 cells and the header 2"},
		{"id,ohms\nR001,\"1\n", "d.csv:2:1: cell 2 of this row opens a quotation mark"},
		{"id,ohms\nR001,1\x00\n", "d.csv:2:7: a NUL character"},
		{"id,ohms\nR\xe4,1\n", "d.csv:2:2: the byte 0xe4 is not UTF-8"},
		{"id,ohms,watts\nR001,1,0\n", `d.csv:2:8: watts "0" is zero; a power above zero`},
		{"id,ohms,volts\nR001,1,-250\n", `d.csv:2:8: volts "-250" is negative`},
		{"id,ohms,gain_percent\nR001,1,-1\n", `d.csv:2:8: gain_percent "-1" is negative; a percentage of zero or more`},
		{"id,ohms,floor_ohms\nR001,1,-1\n", `d.csv:2:8: floor_ohms "-1" is negative`},
		{"id,ohms,tolerance_percent\nR001,1,0\n", `d.csv:2:8: tolerance_percent "0" is zero`},
		{"id,ohms,tempco_ppm\nR001,1,±\n", `d.csv:2:8: tempco_ppm "" holds no quantity`},
		{"id,ohms,nominal\nR001,1,x\n", `d.csv:2:8: nominal "x" does not begin`},
	}
	for _, test := range tests {
		_, err := ParseDrawer("d.csv", strings.NewReader(test.text))
		var wrong *table.Error
		if !errors.As(err, &wrong) || !strings.HasPrefix(err.Error(), test.says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %v, want %q", test.text, err, test.says)
		}
	}
}

func TestReadRefuses(t *testing.T) {
	folder := t.TempDir()
	missing := filepath.Join(folder, "none.csv")
	if _, err := Read(safefile.Files{}, missing); !errors.Is(err, fs.ErrNotExist) || !strings.Contains(err.Error(), "none.csv") {
		t.Errorf("a file that is not there: %v", err)
	}
	if _, err := Read(safefile.Files{}, folder); err == nil || !strings.Contains(err.Error(), "it is a folder") {
		t.Errorf("a folder: %v", err)
	}
	bad := filepath.Join(folder, "bad.csv")
	if err := os.WriteFile(bad, []byte("id,ohms\nR001,x\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Read(safefile.Files{}, bad); err == nil || !strings.HasPrefix(err.Error(), bad+":2:6: ") {
		t.Errorf("a bad file: %v", err)
	}
	if _, err := ParseDrawer("x", failing{}); err == nil || !strings.Contains(err.Error(), `read "x": broken`) {
		t.Errorf("a reader that fails: %v", err)
	}
	d := drawer(t, "id,ohms\n")
	if err := d.Save(nil); err == nil || !strings.Contains(err.Error(), "not read from a file") {
		t.Errorf("save without a file: %v", err)
	}
}

type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, errors.New("broken") }

// save is a call of the program that writes a drawer.
func save(d *Drawer) error {
	j, err := safefile.NewJournal(d.Path())
	if err != nil {
		return err
	}
	in, err := j.Begin(context.Background())
	if err != nil {
		return err
	}
	defer in.End()
	return errors.Join(d.Save(in), in.Commit())
}

func TestSave(t *testing.T) {
	path := filepath.Join(t.TempDir(), "drawer.csv")
	d := New(path)
	for _, text := range []string{"10.91", "4,7k", "4k7"} {
		if _, err := d.Add(NewPart(ohms(t, text))); err != nil {
			t.Fatal(err)
		}
	}
	if err := save(d); err != nil {
		t.Fatal(err)
	}
	want := "id,ohms,instrument,gain_percent,floor_ohms,nominal,tolerance_percent,watts,volts,tempco_ppm,kind,place,note,fitted\n" +
		"R001,10.91,,,,,,,,,,,,\nR002,\"4,7k\",,,,,,,,,,,,\nR003,4k7,,,,,,,,,,,,\n"
	if data, err := os.ReadFile(path); err != nil || string(data) != want {
		t.Fatalf("the file is %q, %v", data, err)
	}
	again, err := Read(safefile.Files{}, path)
	if err != nil || !slices.EqualFunc(again.Parts(), d.Parts(), equal) || again.Path() != path {
		t.Fatalf("read back: %v", err)
	}
	if err := again.Remove("R002"); err != nil {
		t.Fatal(err)
	}
	if err := save(again); err != nil {
		t.Fatal(err)
	}
	if err := save(again); err != nil { // nothing new: must not cost the undo
		t.Fatal(err)
	}
	if fresh, err := again.Fresh(); fresh != again || err != nil {
		t.Errorf("read again though nobody has written: %v", err)
	}
	if err := os.WriteFile(path, []byte(want), 0o666); err != nil { // another brings R002 back
		t.Fatal(err)
	}
	if fresh, err := again.Fresh(); err != nil || fresh == again || fresh.Len() != 3 || fresh.Path() != path {
		t.Errorf("not read again: %v", err)
	}
	if _, err := again.Add(NewPart(ohms(t, "1"))); err != nil {
		t.Fatal(err)
	}
	if err := save(again); !errors.Is(err, safefile.ErrChanged) {
		t.Errorf("save over a changed file: %v", err)
	}
	if err := save(New(path)); !errors.Is(err, safefile.ErrChanged) {
		t.Errorf("a new drawer over a file: %v", err)
	}
}

func TestPartsIsACopy(t *testing.T) {
	d := drawer(t, "id,ohms\nR001,1\n")
	d.Parts()[0].ID = "x"
	if part(t, d, "R001").ID != "R001" {
		t.Error("what the drawer gave out changed the drawer")
	}
}

// The drawers that other tests of the project use are read, and written back
// as they are.
func TestDrawersOfTheProject(t *testing.T) {
	read := 0
	for _, pattern := range []string{"circuits/*.drawer.csv", "joint/*/drawer.csv"} {
		paths, err := filepath.Glob(filepath.Join("..", "testdata", filepath.FromSlash(pattern)))
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range paths {
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			d, err := Read(safefile.Files{}, path)
			if err != nil || d.Len() == 0 || string(d.bytes()) != string(data) {
				t.Errorf("%s: %v", path, err)
			}
			read++
		}
	}
	if read == 0 {
		t.Error("there are none")
	}
}
