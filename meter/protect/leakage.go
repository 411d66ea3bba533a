package protect

import (
	"fmt"
	"math"

	"shuntwright/meter"
)

// Leak is what the clamp diodes do to one range at full scale.
type Leak struct {
	Range          int     // index into Meter.Ranges
	ErrorPercent   float64 // what the diodes add to the full-scale error; zero where they do not lie on this range
	WithPercent    float64 // full-scale error with the diodes
	WithoutPercent float64 // full-scale error without them
	DiodeAmperes   float64 // in the conducting string; NaN: no diodes there
}

// Leakage tells what the diodes take from the movement of every range with its
// full-scale value applied. Ranges that are not whole are left out. Published
// parameters of one and the same part differ by a factor of 20 to 130, so the
// figure is an order of magnitude, not a measurement.
func Leakage(m *meter.Meter, st meter.State, c Clamp) ([]Leak, error) {
	var out []Leak
	for r, rng := range m.Ranges() {
		if math.IsNaN(m.Flow(st, r, 1).InputOhms) {
			continue
		}
		var percent [2]float64
		var load Load
		for i, clamp := range []Clamp{{}, c} {
			var err error
			if load, err = Solve(m, st, r, fullScale(rng), clamp); err != nil {
				return nil, fmt.Errorf("leakage: %w", err)
			}
			percent[i] = 100 * (load.MovementAmperes/st.FullScaleAmperes - 1)
		}
		out = append(out, Leak{r, percent[1] - percent[0], percent[1], percent[0], load.DiodeAmperes})
	}
	return out, nil
}
