package meter

import (
	"errors"
	"fmt"
	"math"

	"shuntwright/meter/quantity"
)

// CopperPerKelvin is the temperature coefficient of annealed copper referred to
// 20 °C (IEC 60028, NBS Handbook 100).
const CopperPerKelvin = 0.00393

// CopperAt is the temperature coefficient of annealed copper, per kelvin,
// referred to another temperature: 1/(1/α20 + t − 20 °C).
func CopperAt(celsius float64) float64 { return 1 / (1/CopperPerKelvin + celsius - 20) }

// Tempco is how a resistance follows the temperature, in parts per million for
// each kelvin.
type Tempco struct {
	PPM      float64 // signed
	LimitPPM float64 // what may be added to it with either sign; zero or more
}

// Tempcos returns what is known without being told, by Resistors: copper for
// the coil, referred to the movement's reference temperature, and zero for all
// others. Callers fill in what they know; contacts keep zero.
func (m *Meter) Tempcos() []Tempco {
	out := make([]Tempco, len(m.resistors))
	out[coilIndex].PPM = 1e6 * CopperAt(m.Movement.ReferenceCelsius)
	return out
}

// AtTemperature returns the state at another temperature: each resistance grows
// by its signed coefficient from the movement's reference temperature. tempcos
// is by Resistors, as Tempcos gives them.
func (m *Meter) AtTemperature(st State, celsius float64, tempcos []Tempco) State {
	return m.heated(st, celsius, tempcos, func(int) float64 { return 0 })
}

// heated is AtTemperature with each limit counted as often as lean says.
func (m *Meter) heated(st State, celsius float64, tempcos []Tempco, lean func(resistor int) float64) State {
	kelvin := celsius - m.Movement.ReferenceCelsius
	out := State{st.FullScaleAmperes, make([]float64, len(st.Ohms))}
	for i, r := range st.Ohms {
		ppm := float64(tempcos[i].PPM*kelvin) + float64(lean(i)*tempcos[i].LimitPPM*math.Abs(kelvin))
		out.Ohms[i] = r * (1 + float64(1e-6*ppm))
	}
	return out
}

// Band is a full-scale error with the limits between which it lies, percent.
type Band struct{ ErrorPercent, LowPercent, HighPercent float64 }

// AtTemperatureBands tells the full-scale error of every range at a
// temperature, with the limits of the coefficients taken at their worst: each
// error is monotone in each resistance, so its extremes stand where every
// resistance stands at a limit.
func (m *Meter) AtTemperatureBands(st State, celsius float64, tempcos []Tempco) []Band {
	out := make([]Band, len(m.ranges))
	for r := range out {
		p := m.paths[r]
		rises := make([]float64, len(m.resistors))
		for _, i := range p.Across {
			rises[i] = 1
		}
		for _, i := range append(append([]int(nil), p.Lead...), p.Branch...) {
			rises[i] = -1
		}
		at := func(sign float64) float64 {
			warm := m.heated(st, celsius, tempcos, func(i int) float64 { return sign * rises[i] })
			return m.errorOf(warm, r)
		}
		out[r] = Band{at(0), at(-1), at(1)}
	}
	return out
}

// SwampWithin returns the smallest swamping resistor of the movement, in ohms,
// with which range r stays within so many percent of full scale at a
// temperature, all positions on the targets that they then have. The
// coefficients are by Resistors, that of the swamping resistor among them. The
// error is a *CannotServe where no swamping resistor does it, as on a voltage
// range, whose multiplier swamps the coil already, or none of those that all
// ranges of the meter bear.
func (m *Meter) SwampWithin(r int, percent, celsius float64, tempcos []Tempco) (float64, error) {
	trial := *m
	var refused *CannotServe // why the last one tried was too large
	served := func(swamp float64) bool {
		trial.Movement.SwampOhms, refused = swamp, nil
		_, err := trial.Targets()
		return !errors.As(err, &refused)
	}
	within := func(swamp float64) bool {
		if !served(swamp) {
			return false
		}
		targets, _ := trial.Targets()
		b := trial.AtTemperatureBands(trial.State(targets), celsius, tempcos)[r]
		return b.LowPercent >= -percent && b.HighPercent <= percent
	}
	no := fmt.Sprintf("no swamping resistor keeps it within %g %% at %s", percent, quantity.Format(celsius, quantity.Celsius, 4))
	low, high := 0.0, m.Movement.CoilOhms
	if within(0) {
		return 0, nil
	}
	if refused != nil {
		return nan, refused
	}
	for !within(high) {
		if refused != nil {
			tooMuch := refused.Range
			most := bisect(high, low, served)
			if high = most; !within(most) {
				return nan, &CannotServe{m.ranges[r].Name, fmt.Sprintf("%s: more than %s leaves nothing on %s", no, quantity.Format(most, quantity.Ohm, 3), tooMuch)}
			}
			break
		}
		if low, high = high, 2*high; high > 1e9*m.Movement.CoilOhms {
			return nan, &CannotServe{m.ranges[r].Name, no}
		}
	}
	return bisect(low, high, within), nil
}

// bisect is where ok becomes true on the way from bad to good, to twelve
// digits; ok is false at bad and true at what it returns.
func bisect(bad, good float64, ok func(float64) bool) float64 {
	for math.Abs(good-bad) > 1e-12*max(good, bad) {
		if mid := bad + (good-bad)/2; ok(mid) {
			good = mid
		} else {
			bad = mid
		}
	}
	return good
}
