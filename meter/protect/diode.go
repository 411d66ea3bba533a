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

// ParseModel reads a diode: a part number of Known, or parameters such as
// "is=7.03e-9,n=1.808,rs=0.034,xti=3,eg=1.11,tnom=25" in amperes, ohms,
// electronvolts and °C. The saturation current must be given; without the
// others n is 1, rs 0, xti 3, eg 1.11, tnom 25.
func ParseModel(text string) (nodal.Model, error) {
	for name, m := range models {
		if strings.EqualFold(name, strings.TrimSpace(text)) {
			return m, nil
		}
	}
	m := nodal.Model{Emission: 1, SaturationPower: 3, GapVolts: 1.11, NominalCelsius: 25}
	fields := map[string]*float64{"is": &m.SaturationAmperes, "n": &m.Emission, "rs": &m.SeriesOhms, "xti": &m.SaturationPower,
		"eg": &m.GapVolts, "tnom": &m.NominalCelsius}
	hint := fmt.Sprintf("write %s, or parameters such as is=7.03e-9,n=1.808,rs=0.034", strings.Join(known(), " or "))
	for _, part := range strings.Split(text, ",") {
		key, number, _ := strings.Cut(part, "=")
		field := fields[strings.ToLower(strings.TrimSpace(key))]
		if field == nil {
			return nodal.Model{}, fmt.Errorf("diode %q: %q is no part number known here and no parameter, or stands twice; %s", text, strings.TrimSpace(key), hint)
		}
		x, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		if err != nil {
			return nodal.Model{}, fmt.Errorf("diode %q: %q is no number; %s", text, strings.TrimSpace(number), hint)
		}
		*field = x
		delete(fields, strings.ToLower(strings.TrimSpace(key)))
	}
	if err := (nodal.Diode{Model: m, InSeries: 1, Celsius: 25}).Check(); err != nil {
		return nodal.Model{}, fmt.Errorf("diode %q: %w; %s", text, err, hint)
	}
	return m, nil
}
