package asbuilt

import (
	"math"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
)

// Tempcos are what is known of every resistance's temperature coefficient: the
// coil is copper, the parts have what the drawer says, by their shares of the
// network that they sit in. unknown are parts, and resistances that the meter file
// states, of which nothing is said.
func (s *Setup) Tempcos() (out []meter.Tempco, unknown []string) {
	out = s.Meter.Tempcos()
	resistors := s.Meter.Resistors()
	for _, one := range s.Stated {
		if resistors[one.Resistor].Use != meter.Contact && one.Measured.Ohms > 0 {
			unknown = append(unknown, one.Name)
		}
	}
	for i, p := range s.Positions {
		if s.IsOpen(i) {
			continue
		}
		values := Values(s.Leaves[i])
		whole, slopes := s.Networks[i].Resistance(values), s.Networks[i].Slopes(values)
		for k, l := range s.Networks[i].Leaves() {
			share := slopes[k] * values[k] / whole
			at, known := s.Index[l.ID]
			switch {
			case l.ID == "" || !known || math.IsNaN(s.Parts[at].TempcoPPM):
				unknown = append(unknown, s.Leaves[i][k].Name)
			case s.Parts[at].TempcoSigned:
				out[p.Resistor].PPM += share * s.Parts[at].TempcoPPM
			default:
				out[p.Resistor].LimitPPM += share * s.Parts[at].TempcoPPM
			}
		}
	}
	return out, report.Unique(unknown)
}

// AtTemperature is a state of the meter at a temperature in °C, with the
// coefficients of Tempcos; as it is where celsius is NaN.
func (s *Setup) AtTemperature(state meter.State, celsius float64) meter.State {
	if math.IsNaN(celsius) {
		return state
	}
	coefficients, _ := s.Tempcos()
	return s.Meter.AtTemperature(state, celsius, coefficients)
}
