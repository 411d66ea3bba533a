package meter

import (
	"fmt"
	"math"
)

// usualReference is the temperature at which a coil's resistance is stated
// unless the meter says otherwise, in °C.
const usualReference = 20

// Movement is the moving-coil mechanism that all ranges of a meter share.
// NewMovement gives one in which everything that is not known says so; a
// Movement built by hand must set every field.
type Movement struct {
	FullScaleAmperes      float64 // current for the last mark; positive
	FullScaleLimitPercent float64 // half-width within which the full-scale current is trusted; NaN: not given
	CoilOhms              float64 // copper of the coil at ReferenceCelsius; positive
	CoilGainPercent       float64 // gain limit of the coil's measurement; NaN: not given
	CoilFloorOhms         float64 // floor limit of the coil's measurement; NaN: not given
	Instrument            string  // what measured the coil; empty: not named
	SwampOhms             float64 // swamping resistor in series with the coil on every range; zero: none
	Divisions             float64 // divisions of the scale; NaN: not given
	ReferenceCelsius      float64 // temperature of CoilOhms, °C
}

// NewMovement returns a movement of so many amperes for the last mark and so
// many ohms of coil at 20 °C, without a swamping resistor and with every limit
// not given.
func NewMovement(fullScaleAmperes, coilOhms float64) Movement {
	return Movement{
		FullScaleAmperes: fullScaleAmperes, FullScaleLimitPercent: math.NaN(),
		CoilOhms: coilOhms, CoilGainPercent: math.NaN(), CoilFloorOhms: math.NaN(),
		Divisions: math.NaN(), ReferenceCelsius: usualReference,
	}
}

// Ohms is the resistance of the movement as its ranges see it: coil and
// swamping resistor in series.
func (mv Movement) Ohms() float64 { return mv.CoilOhms + mv.SwampOhms }

// check refuses a movement that no formula can serve.
func (mv Movement) check() error {
	positive := func(x float64) bool { return x > 0 && !math.IsInf(x, 1) }
	switch {
	case !positive(mv.FullScaleAmperes):
		return fmt.Errorf("movement: full-scale current %g A; it must be positive", mv.FullScaleAmperes)
	case !positive(mv.CoilOhms):
		return fmt.Errorf("movement: coil %g ohm; it must be positive", mv.CoilOhms)
	case !positive(mv.SwampOhms) && mv.SwampOhms != 0:
		return fmt.Errorf("movement: swamping resistor %g ohm; it must be zero or positive", mv.SwampOhms)
	case math.IsNaN(mv.ReferenceCelsius) || mv.ReferenceCelsius < -273.15 || math.IsInf(mv.ReferenceCelsius, 0):
		return fmt.Errorf("movement: reference temperature %g °C; it must be a temperature", mv.ReferenceCelsius)
	}
	return nil
}
