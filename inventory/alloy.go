package inventory

import (
	"fmt"
	"math"
	"strings"
)

// Alloy is what resistance wire is made of: how much a metre of round wire has, and
// how that moves with temperature. A resistivity from a table is good to some
// percent only, so whatever is cut by it is cut long and shortened until it reads
// true.
type Alloy struct {
	Name string
	// OhmMM2PerMetre is the resistivity at 20 °C in Ω·mm²/m.
	OhmMM2PerMetre float64
	// LimitPercent is the half-width within which wire as sold has it.
	LimitPercent float64
	// TempcoPPM is the temperature coefficient in ppm/K: a limit of either sign,
	// or the value itself where TempcoSigned is true.
	TempcoPPM    float64
	TempcoSigned bool
}

// alloys with their sources. Where two sources differ the limit spans both.
var alloys = []Alloy{
	// Maker's data sheet of manganin 43 (CuMn12Ni): 0.43 Ω·mm²/m, 0 ± 15 ppm/K
	// from 15 to 35 °C; JIS C 2522: 0.44 ± 0.03 Ω·mm²/m, which is ±7 %. What has
	// more, such as a handbook's 0.482, is only shortened more.
	{"manganin", 0.43, 7, 15, false},
	// Maker's data sheet of constantan 49 (CuNi44): 0.49 Ω·mm²/m, ±60 ppm/K
	// (±20 below 0.3 mm); resistivity to ±5 % (DIN 17471, from memory); a
	// handbook's wire tables have 0.4538.
	{"constantan", 0.49, 8, 60, false},
	// Computed from a table of standard wire gauges; the coefficient from
	// Thompson, Elementary Lessons in Electricity and Magnetism, § 117. Its
	// alloys differ widely: the limit is common practice.
	{"nickel silver", 0.2265, 20, 420, true},
	// Nickel-chromium 80/20, maker's data sheet: 650 Ω·cmil/ft, ±5 %, 90 ppm/K;
	// a handbook has 130. Textbooks reckon with 1.00 and 0.9975.
	{"nichrome", 1.0806, 8, 110, true},
	// IEC 60028, annealed copper: 1/58 Ω·mm²/m, 0.00393 /K.
	{"copper", 1.0 / 58, 3, 3930, true},
}

// FindAlloy returns the alloy of a name, in any case; the error lists those that are
// known.
func FindAlloy(name string) (Alloy, error) {
	plain := strings.ToLower(strings.Join(strings.Fields(name), " "))
	for _, a := range alloys {
		if a.Name == plain {
			return a, nil
		}
	}
	return Alloy{}, fmt.Errorf("%q is no wire known here; those that are: %s; or measure a length and give its ohm/m", name, strings.Join(AlloyNames(), ", "))
}

// AlloyNames are the alloys that FindAlloy knows.
func AlloyNames() []string {
	var names []string
	for _, a := range alloys {
		names = append(names, a.Name)
	}
	return names
}

// Diameters of wire that can be wound by hand, in metres.
const (
	thinnest = 0.01e-3
	thickest = 5e-3
)

// OhmsPerMetre returns the resistance of a metre of round wire of that diameter,
// in metres: 4·ρ / (π·d²), in Ω/m. A diameter beyond 0.01 to 5 mm is an error.
func (a Alloy) OhmsPerMetre(diameterMetres float64) (float64, error) {
	if !(diameterMetres >= thinnest && diameterMetres <= thickest) {
		return 0, fmt.Errorf("wire of %g mm: diameters from 0.01 to 5 mm can be wound", diameterMetres*1e3)
	}
	mm := diameterMetres * 1e3
	return a.OhmMM2PerMetre * 4 / (math.Pi * mm * mm), nil
}

// Diameter returns the diameter, in metres, at which a resistance in ohms is a
// length in metres: the wire that would do where another is too short or long.
func (a Alloy) Diameter(ohms, metres float64) float64 {
	return 2 * math.Sqrt(a.OhmMM2PerMetre*metres/(ohms*math.Pi)) * 1e-3
}
