// Package asbuilttest puts drawers and meters on the bench for the tests of what
// works there.
package asbuilttest

import (
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/inventory"
	"shuntwright/inventory/instrument"
	"shuntwright/inventory/safefile"
	"shuntwright/meter/meterfile"
)

// Bench measures a drawer as the texts of its file and of that of the instruments
// say; it fails t where one of them cannot be read.
func Bench(t testing.TB, drawer, instruments string) *asbuilt.Bench {
	t.Helper()
	in, err := instrument.Parse("instruments.json", []byte(instruments))
	if err != nil {
		t.Fatal(err)
	}
	d, err := inventory.ParseDrawer("drawer.csv", strings.NewReader(drawer))
	if err != nil {
		t.Fatal(err)
	}
	b, err := asbuilt.Measure(d, in)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Open puts a meter on such a bench, as the text of its file says.
func Open(t testing.TB, meter, drawer, instruments string) *asbuilt.Setup {
	t.Helper()
	file, err := meterfile.Parse("meter.json", []byte(meter))
	if err != nil {
		t.Fatal(err)
	}
	s, err := asbuilt.New(Bench(t, drawer, instruments), "meter.json", file, []byte(meter), safefile.Absent)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
