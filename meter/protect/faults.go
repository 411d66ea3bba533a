package protect

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/meter"
)

// Fault is one part failing on one range.
type Fault struct {
	Position        string  // the resistor's name
	Range           int     // index into Meter.Ranges
	Short           bool    // false: it opens
	MovementAmperes float64 // without diodes
	TimesFullScale  float64 // the same by the movement's full scale
	WithDiodes      float64 // amperes in the movement with the clamp; NaN: no diodes there
	WithDiodesTimes float64 // the same by the movement's full scale
	DiodeAmperes    float64 // in the conducting string; NaN: no diodes there
}

// Faults tells what the movement carries when a part fails towards more of it, fed by a supply of so many volts behind so many ohms:
// whatever lies across the movement's branch opens, and a resistor that never does so, such as a multiplier, shorts. Positions and the
// resistors that the meter file states count, in the meter's order, each with the ranges it serves. Ranges that need another
// position that is open are left out.
func Faults(m *meter.Meter, st meter.State, supply Source, c Clamp) ([]Fault, error) {
	var out []Fault
	for i, resistor := range m.Resistors() {
		if resistor.Use != meter.Fitted && resistor.Use != meter.Given {
			continue
		}
		ranges, short := failing(m, i)
		for _, r := range ranges {
			broken := st.With(i, math.Inf(1))
			if short {
				broken = st.With(i, 0)
			}
			if math.IsNaN(m.Flow(broken, r, 1).InputOhms) {
				continue
			}
			f, err := fault(m, broken, r, supply, c)
			if err != nil {
				return nil, fmt.Errorf("%s failing: %w", resistor.Name, err)
			}
			f.Position, f.Short = resistor.Name, short
			out = append(out, f)
		}
	}
	return out, nil
}

// failing lists the ranges on which a resistor can fail towards more current in the movement, and whether it does so by a short.
func failing(m *meter.Meter, resistor int) (ranges []int, short bool) {
	var across, through []int
	for r := range m.Ranges() {
		p := m.Path(r)
		switch {
		case slices.Contains(p.Across, resistor):
			across = append(across, r)
		case slices.Contains(p.Lead, resistor), slices.Contains(p.Branch, resistor):
			through = append(through, r)
		}
	}
	if across != nil {
		return across, false
	}
	return through, true
}

// fault solves one fault without and with the clamp.
func fault(m *meter.Meter, broken meter.State, r int, supply Source, c Clamp) (Fault, error) {
	bare, err := Solve(m, broken, r, supply, Clamp{})
	if err != nil {
		return Fault{}, err
	}
	f := Fault{Range: r, MovementAmperes: bare.MovementAmperes, TimesFullScale: bare.MovementAmperes / broken.FullScaleAmperes,
		WithDiodes: math.NaN(), WithDiodesTimes: math.NaN(), DiodeAmperes: math.NaN()}
	if c.node(m, r) == "" {
		return f, nil
	}
	clamped, err := Solve(m, broken, r, supply, c)
	if err != nil {
		return Fault{}, err
	}
	f.WithDiodes, f.DiodeAmperes = clamped.MovementAmperes, clamped.DiodeAmperes
	f.WithDiodesTimes = clamped.MovementAmperes / broken.FullScaleAmperes
	return f, nil
}

// Leak is what the clamp diodes do to one range at full scale.
type Leak struct {
	Range          int     // index into Meter.Ranges
	ErrorPercent   float64 // what the diodes add to the full-scale error; zero where they do not lie on this range
	WithPercent    float64 // full-scale error with the diodes
	WithoutPercent float64 // full-scale error without them
	DiodeAmperes   float64 // in the conducting string; NaN: no diodes there
}

// Leakage tells what the diodes take from the movement of every range with its full-scale value applied. Ranges that are not whole
// are left out. Published parameters of one and the same part differ by a factor of 20 to 130, so the figure is an order of
// magnitude, not a measurement.
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
			if load, err = Solve(m, st, r, FullScale(rng), clamp); err != nil {
				return nil, fmt.Errorf("leakage: %w", err)
			}
			percent[i] = 100 * (load.MovementAmperes/st.FullScaleAmperes - 1)
		}
		out = append(out, Leak{r, percent[1] - percent[0], percent[1], percent[0], load.DiodeAmperes})
	}
	return out, nil
}
