package wire

import (
	"math"
	"strings"
	"testing"
)

// A published table of resistance by standard wire gauge (Ω/m), its copper,
// constantan, nickel silver, manganin and nichrome columns; and the data sheets
// of the makers. The table was made with 0.01725, 0.490, 0.2265, 0.415 and 1.08
// Ω·mm²/m, so manganin (0.43 here) is 3.6 % below.
func TestPublishedGauges(t *testing.T) {
	for _, c := range []struct {
		mm                                               float64
		copper, constantan, silver, manganin, nickelChro float64
	}{
		{0.9144, 0.0263, 0.746, 0.345, 0.632, 1.64}, // SWG 20
		{0.4572, 0.105, 2.98, 1.38, 2.53, 6.58},     // SWG 26
		{0.27432, 0.292, 8.29, 3.83, 7.02, 18.3},    // SWG 32
		{0.12192, 1.48, 42.0, 19.4, 35.5, 92.5},     // SWG 40
		{0.04064, 13.3, 378, 175, 320, 833},         // SWG 48
	} {
		for name, want := range map[string]float64{"copper": c.copper, "constantan": c.constantan, "nickel silver": c.silver, "manganin": c.manganin * 0.43 / 0.415, "nichrome": c.nickelChro} {
			a, err := Find(name)
			if err != nil {
				t.Fatal(err)
			}
			got, err := a.OhmsPerMetre(c.mm / 1e3)
			if err != nil || math.Abs(got/want-1) > 0.006 { // the table's rounding
				t.Errorf("%s of %g mm: %.4g Ω/m, published %.4g, %v", name, c.mm, got, want, err)
			}
			if back := a.Diameter(got*0.3, 0.3); math.Abs(back*1e3/c.mm-1) > 1e-12 {
				t.Errorf("%s: 0.3 m of %g mm is said to be of %g mm", name, c.mm, back*1e3)
			}
		}
	}
}

// Published examples with a length of wire. American Wire Gauge table: copper
// AWG 20 and 30, 10.15 and 103.2 Ω per 1000 ft. Nickel-chromium data sheet:
// AWG 10 (101.9 mil) 0.0626 Ω/ft.
func TestPublishedLengths(t *testing.T) {
	const foot, mil = 0.3048, 25.4e-6
	for _, c := range []struct {
		alloy           string
		diameter, metre float64
		ohms, within    float64
	}{
		{"copper", 0.811821e-3, 1000 * foot, 10.15, 0.0005},
		{"copper", 0.254639e-3, 1000 * foot, 103.2, 0.0005},
		{"nichrome", 101.9 * mil, foot, 0.0626, 0.001},
		{"constantan", 0.25e-3, 1, 9.98, 0.0005}, // 0.49 / 0.0491 mm²
	} {
		a, _ := Find(c.alloy)
		per, err := a.OhmsPerMetre(c.diameter)
		if got := per * c.metre; err != nil || math.Abs(got/c.ohms-1) > c.within {
			t.Errorf("%s %g m: %.5g Ω, published %g", c.alloy, c.metre, got, c.ohms)
		}
	}
}

func TestRefusals(t *testing.T) {
	if _, err := Find("unobtainium"); err == nil || !strings.Contains(err.Error(), "manganin, constantan") {
		t.Error(err)
	}
	if a, err := Find(" Nickel  Silver"); err != nil || a.Name != "nickel silver" {
		t.Error(a, err)
	}
	a, _ := Find("copper")
	for _, d := range []float64{3, 0, -1e-3, 9e-6, 5.1e-3, math.NaN()} {
		if _, err := a.OhmsPerMetre(d); err == nil {
			t.Errorf("a diameter of %g m is taken", d)
		}
	}
}
