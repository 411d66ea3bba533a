package main

import "shuntwright/meter"

// slopes are the changes of one range's full-scale error, in percent of full
// scale, per ohm of every resistor and per ampere of the movement's full scale.
type slopes struct {
	perOhm    []float64
	perAmpere float64
}

// slopesOf turns the meter's sensitivities, which are of the reading, into
// slopes of the full-scale error; zero where a range is not whole.
func slopesOf(m *meter.Meter, state meter.State) []slopes {
	errors := make([]float64, len(m.Ranges()))
	m.Errors(errors, state)
	out := make([]slopes, len(errors))
	for r, row := range m.Sensitivities(state) {
		reading := 1 + errors[r]/100
		out[r].perOhm = make([]float64, len(row))
		if !isNumber(reading) {
			continue
		}
		for k, one := range row {
			if isNumber(one.PerOhm) {
				out[r].perOhm[k] = one.PerOhm * reading
			}
		}
		out[r].perAmpere = meter.FullScaleSensitivity * 100 * reading / state.FullScaleAmperes
	}
	return out
}
