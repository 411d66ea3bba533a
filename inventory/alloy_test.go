package inventory

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// publishedWires are the rows of testdata/published/wires.csv, which names the sources.
func publishedWires(t *testing.T) (rows []map[string]string) {
	t.Helper()
	f, err := os.Open("../testdata/published/wires.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, name := range all[0] {
			row[name] = cells[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func cellNumber(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Wire tables and worked examples, each with the resistivity of its source: a
// length of wire has what is printed, within its rounding.
func TestPublishedWire(t *testing.T) {
	met := map[string]int{}
	for _, row := range publishedWires(t) {
		a, err := FindAlloy(row["alloy"])
		if err != nil {
			t.Fatal(err)
		}
		met[a.Name]++
		rho, mm, metres, ohms := cellNumber(t, row["resistivity"]), cellNumber(t, row["mm"]), cellNumber(t, row["metres"]), cellNumber(t, row["ohms"])
		per, err := Alloy{OhmMM2PerMetre: rho}.OhmsPerMetre(mm / 1e3)
		if got := per * metres; err != nil || math.Abs(got/ohms-1) > cellNumber(t, row["within"]) {
			t.Errorf("%s %s: %g m of %g mm %s: %.6g Ω, published %g, %v", row["source"], row["gauge"], metres, mm, a.Name, got, ohms, err)
		}
		if back := (Alloy{OhmMM2PerMetre: rho}).Diameter(per*metres, metres); math.Abs(back*1e3/mm-1) > 1e-12 {
			t.Errorf("%s: %g m of %g mm is said to be of %g mm", a.Name, metres, mm, back*1e3)
		}
		if off := 100 * math.Abs(rho/a.OhmMM2PerMetre-1); off > a.LimitPercent {
			t.Errorf("%s: %s reckons with %g Ω·mm²/m, which is %.1f %% off, more than ±%g %%", row["source"], a.Name, rho, off, a.LimitPercent)
		}
	}
	if len(met) != len(AlloyNames()) {
		t.Errorf("only %v were met", met)
	}
}

// What standards, makers and handbooks print of an alloy lies within what is said
// of it.
func TestPublishedAlloys(t *testing.T) {
	for _, c := range []struct {
		alloy, source string
		least, most   float64 // Ω·mm²/m
		ppm           float64 // the largest magnitude near room temperature; 0: not printed
	}{
		{"manganin", "maker's data sheet, manganin 43", 0.43, 0.43, 15},
		{"manganin", "JIS C 2522", 0.41, 0.45, 0}, // to 0.47, where wire is only shortened more
		{"constantan", "maker's data sheet, constantan 49 above 0.3 mm", 0.49, 0.49, 60},
		{"constantan", "a handbook's wire tables: 45.38 µΩ·cm", 0.4538, 0.4538, 0},
		{"nickel silver", "Threlfall, On Laboratory Arts (1898), § 117", 0.2265, 0.2265, 420},
		{"nichrome", "maker's data sheet, 650 Ω·cmil/ft", 1.0806, 1.0806, 90},
		{"nichrome", "Lessons in Electric Circuits, vol I: 675 Ω·cmil/ft", 1.122, 1.122, 0},
		{"copper", "IEC 60028", 1.0 / 58, 1.0 / 58, 3930},
	} {
		a, err := FindAlloy(c.alloy)
		if err != nil {
			t.Fatal(err)
		}
		for _, rho := range []float64{c.least, c.most} {
			if off := 100 * math.Abs(rho/a.OhmMM2PerMetre-1); off > a.LimitPercent {
				t.Errorf("%s: %s has %g Ω·mm²/m, %.1f %% off ±%g %%", c.alloy, c.source, rho, off, a.LimitPercent)
			}
		}
		if c.ppm > 0 && (c.ppm > a.TempcoPPM*1.01 || c.ppm < a.TempcoPPM*0.8) {
			t.Errorf("%s: %s has %g ppm/K, here %g", c.alloy, c.source, c.ppm, a.TempcoPPM)
		}
	}
	// IEC 60028: copper has 27.51 % more at 90 °C than at 20 °C.
	if a, _ := FindAlloy("copper"); math.Abs(a.TempcoPPM*1e-6*70-0.2751) > 1e-9 || !a.TempcoSigned {
		t.Errorf("copper: %+v", a)
	}
}

func TestRefusals(t *testing.T) {
	if _, err := FindAlloy("unobtainium"); err == nil || !strings.Contains(err.Error(), "manganin, constantan") {
		t.Error(err)
	}
	if a, err := FindAlloy(" Nickel  Silver"); err != nil || a.Name != "nickel silver" {
		t.Error(a, err)
	}
	a, _ := FindAlloy("copper")
	for _, d := range []float64{3, 0, -1e-3, 9e-6, 5.1e-3, math.NaN()} {
		if _, err := a.OhmsPerMetre(d); err == nil {
			t.Errorf("a diameter of %g m is taken", d)
		}
	}
}
