package inventory

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// Texts that a spreadsheet would run as formulas, and those that look as if they
// had been guarded against that, come back as they were from files of every
// kind, and none of them is written as a formula.
func TestFormulasAreTexts(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	signs := []rune(`=+-@'"; ,a1.` + "\n\x1b\u202e")
	random := func() string {
		var text []rune
		for range r.IntN(6) {
			text = append(text, signs[r.IntN(len(signs))])
		}
		return strings.TrimSpace(string(text))
	}
	for _, header := range []string{"id,ohms,kind,place,note\n", "id;ohms;note\n", "id\tohms\r\n"} {
		d := drawer(t, header)
		for range 100 {
			p := NewPart(ohms(t, "5"))
			p.Kind, p.Place, p.Note, p.Fitted = random(), "=HYPERLINK(\"x\")", random(), "=meter: shunt 10 mA"
			if _, err := d.Add(p); err != nil {
				t.Fatalf("%+v: %v", p, err)
			}
		}
		again := drawer(t, string(d.bytes()))
		if !slices.EqualFunc(d.Parts(), again.Parts(), Alike) {
			t.Errorf("%q: the parts do not come back", header)
		}
		for row := range again.table.Len() {
			for _, cell := range again.table.Row(row) {
				if cell != "" && strings.Contains("=@", cell[:1]) {
					t.Fatalf("a cell is %q", cell)
				}
			}
		}
		for i, p := range again.Parts() {
			if p.Place != "=HYPERLINK(\"x\")" || p.Kind != d.Parts()[i].Kind {
				t.Fatalf("%+v", p)
			}
		}
	}
	l, err := list(t, "ohms,=own\n5,=1+2\n6,'=1+2\n")
	if err != nil {
		t.Fatal(err)
	}
	d := drawer(t, "id,ohms\n")
	if _, err := d.AddList(l); err != nil {
		t.Fatal(err)
	}
	if want := "id,ohms,'=own\nR001,5,'=1+2\nR002,6,'=1+2\n"; string(d.bytes()) != want || d.Own("R001")["=own"] != "=1+2" {
		t.Errorf("%q, %q", d.bytes(), d.Own("R001"))
	}
	if again := l.In(d); again[0] == "" || again[1] == "" {
		t.Errorf("not found again: %q", again)
	}
}
