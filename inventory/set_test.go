package inventory_test

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

func readSet(t *testing.T, text string, like inventory.Part) ([]inventory.SetPart, error) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "set.csv")
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return inventory.ReadSet(path, like)
}

// A list as a spreadsheet of another country writes it: semicolons, decimal
// commas, names with units, empty rows and cells.
func TestReadSet(t *testing.T) {
	like := inventory.NewPart(quantity.Value{})
	like.TolerancePercent, like.Watts = 20, 0.5
	got, err := readSet(t, "Ref;Nennwert (kOhm);Toleranz;Messwert (kOhm);P\nR1;4,7;10;5,41;\n;;;;\nR2;0,1;;;1\nR3;1000;;OL;\n", like)
	if err != nil || len(got) != 3 {
		t.Fatal(got, err)
	}
	for i, want := range []struct {
		ref                               string
		nominal, tolerance, reading, watt float64
		open                              bool
	}{{"R1", 4700, 10, 5410, 0.5, false}, {"R2", 100, 20, 0, 1, false}, {"R3", 1e6, 20, 0, 0.5, true}} {
		p := got[i]
		if p.Ref != want.ref || math.Abs(p.Part.Nominal.Base-want.nominal) > 1e-9 || p.Part.TolerancePercent != want.tolerance ||
			math.Abs(p.Part.Ohms.Base-want.reading) > 1e-9 || p.Part.Watts != want.watt || p.Open != want.open || p.Part.Measured() != (want.reading > 0) {
			t.Errorf("%+v, want %+v", p, want)
		}
	}
	if step := got[0].Part.Ohms.Step; math.Abs(step-10) > 1e-9 {
		t.Errorf("the last digit of 5,41 kOhm is %g ohm", step)
	}
	if got, err := readSet(t, "ref,nominal,tolerance_percent,ohms,instrument\nR1,4k7,5,5k4,bridge\n", inventory.NewPart(quantity.Value{})); err != nil || got[0].Part.Instrument != "bridge" || got[0].Part.Ohms.Base != 5400 {
		t.Errorf("%+v, %v", got, err)
	}
}

// What is wrong is refused with its place.
func TestReadSetRefuses(t *testing.T) {
	const head = "ref,nominal,tolerance_percent,measured\n"
	for text, want := range map[string]string{
		head + "R1,0,10,5k":                     `2:4: nominal of "R1": "0" is zero`,
		head + "R1,,10,5k":                      `2:4: nominal of "R1" is empty`,
		head + "R1,4k7,,5k":                     `2:8: tolerance_percent of "R1" is empty; write what is marked on the part (no ring stands for 20, IEC 60062)`,
		head + "R1,4k7,90,5k":                   `tolerance_percent of "R1": 90 is more than 50`,
		head + "R1,4k7,10,5 V":                  `2:11: measured of "R1"`,
		head + "R1,4k7,10,5k\nR1,4k7,10,5k":     `3:1: ref "R1" stands in line 2 already`,
		head + ",4k7,10,5k":                     `2:1: ref is empty`,
		head:                                    `no part stands below`,
		"nominal,tolerance_percent,measured\n":  `there is no column "ref"`,
		"ref,nominal,measured\nR1,4k7,5k":       `there is no column "tolerance_percent"`,
		"ref,nominal,tolerance_percent\nR1,1,5": `there is no column "measured"`,
	} {
		if got, err := readSet(t, text, inventory.NewPart(quantity.Value{})); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, %v; want %q", text, got, err, want)
		}
	}
}
