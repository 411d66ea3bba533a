package inventory

import (
	"slices"
	"strings"
	"testing"

	"shuntwright/meter/quantity"
)

// What All has lent stays as it was, whatever becomes of the drawer.
func TestLentPartsStay(t *testing.T) {
	d, err := ParseDrawer("d.csv", strings.NewReader("id,ohms\nR1,10\nR2,20\nR3,30\n"))
	if err != nil {
		t.Fatal(err)
	}
	lent, was := d.All(), d.Parts()
	other, _, _ := d.Find("R2")
	other.Note = "changed"
	added := NewPart(quantity.Value{Text: "40", Base: 40, Unit: quantity.Ohm, Step: 1})
	added.ID = "R4"
	for what, change := range map[string]func() error{
		"replace": func() error { return d.Replace(other) },
		"remove":  func() error { return d.Remove("R1") },
		"add":     func() error { _, err := d.Add(added); return err },
	} {
		if err := change(); err != nil || !slices.EqualFunc(lent, was, Alike) {
			t.Fatalf("%s: %v, error %v", what, lent, err)
		}
		lent, was = d.All(), d.Parts()
	}
}
