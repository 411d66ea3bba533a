package protect

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"shuntwright/meter/nodal"
)

// models are the diodes known by number. Neither set is from a maker's current
// data sheet; both are widely copied general models, the first found in two
// public code repositories, the second in at least ten. Nominal temperature 25
// °C as in the simulator decks.
var models = map[string]nodal.Model{
	"1N4007": {SaturationAmperes: 7.02767e-9, Emission: 1.80803, SeriesOhms: 0.0341512, SaturationPower: 3, GapVolts: 1.11, NominalCelsius: 25},
	"1N4148": {SaturationAmperes: 2.52e-9, Emission: 1.752, SeriesOhms: 0.568, SaturationPower: 3, GapVolts: 1.11, NominalCelsius: 25},
}

// known lists the part numbers that ParseModel knows.
func known() []string { return slices.Sorted(maps.Keys(models)) }

// leastSeriesOhms is less than any diode and its leads have. A junction without
// ohmic resistance would take any current of a source that has none.
const leastSeriesOhms = 1e-6

// parameters are what may be said of a diode, within what a junction can have.
var parameters = map[string]struct {
	of          func(m *nodal.Model) *float64
	least, most float64
}{
	"is":   {func(m *nodal.Model) *float64 { return &m.SaturationAmperes }, 1e-30, 1},
	"n":    {func(m *nodal.Model) *float64 { return &m.Emission }, 0.1, 100},
	"rs":   {func(m *nodal.Model) *float64 { return &m.SeriesOhms }, 0, 1e6},
	"xti":  {func(m *nodal.Model) *float64 { return &m.SaturationPower }, -20, 20},
	"eg":   {func(m *nodal.Model) *float64 { return &m.GapVolts }, 0.1, 10},
	"tnom": {func(m *nodal.Model) *float64 { return &m.NominalCelsius }, -200, 1000},
}

// ParseModel reads a diode: a part number of Known, or parameters such as
// "is=7.03e-9,n=1.808,rs=0.034,xti=3,eg=1.11,tnom=25" in amperes, ohms,
// electronvolts and °C. The saturation current must be given; without the
// others n is 1, rs the least that leads have, xti 3, eg 1.11, tnom 25.
func ParseModel(text string) (nodal.Model, error) {
	for name, m := range models {
		if strings.EqualFold(name, strings.TrimSpace(text)) {
			return m, nil
		}
	}
	m := nodal.Model{Emission: 1, SaturationPower: 3, GapVolts: 1.11, NominalCelsius: 25}
	seen := map[string]bool{}
	wrong := func(format string, values ...any) (nodal.Model, error) {
		return nodal.Model{}, fmt.Errorf("diode %q: %s; write %s, or parameters such as is=7.03e-9,n=1.808,rs=0.034", text,
			fmt.Sprintf(format, values...), strings.Join(known(), " or "))
	}
	for _, part := range strings.Split(text, ",") {
		key, number, _ := strings.Cut(part, "=")
		field := strings.ToLower(strings.TrimSpace(key))
		parameter, is := parameters[field]
		if !is || seen[field] {
			return wrong("%q is no part number known here and no parameter, or stands twice", strings.TrimSpace(key))
		}
		x, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		if err != nil {
			return wrong("%q is no number", strings.TrimSpace(number))
		}
		if !(x >= parameter.least && x <= parameter.most) {
			return wrong("%s is %v, and from %g to %g belongs there", field, x, parameter.least, parameter.most)
		}
		*parameter.of(&m), seen[field] = x, true
	}
	if !seen["is"] {
		return wrong("a diode needs a saturation current, is")
	}
	m.SeriesOhms = max(m.SeriesOhms, leastSeriesOhms)
	return m, nil
}
