package inventory

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
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
	if want := "id,ohms\nR002,10\nR004,5\nR003,5\nR005,5\nx,5\n"; string(d.Bytes()) != want || parts[0].ID != "" {
		t.Errorf("%q, want %q", d.Bytes(), want)
	}
	if _, err := d.AddAll(parts); err == nil || !strings.Contains(err.Error(), `the id "R003" is in the drawer already`) {
		t.Errorf("once more: %v", err)
	}
}

func TestReadParts(t *testing.T) {
	dir := t.TempDir()
	read := func(text string) ([]Part, error) {
		path := filepath.Join(dir, "f.csv")
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		return ReadParts(path)
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
	} {
		if got, err := read(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %+v, %v; want %q", text, got, err, says)
		}
	}
	if _, err := ReadParts(filepath.Join(dir, "none")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("no file: %v", err)
	}
}
