package nodal

import (
	"errors"
	"math"
)

// Constants of the SI, exact since 2019.
const (
	boltzmann        = 1.380649e-23    // J/K
	elementaryCharge = 1.602176634e-19 // C
	zeroCelsius      = 273.15          // K
)

// Model is the set of parameters by which simulators know a junction diode: I =
// IS·(exp(V/(N·kT/q)) − 1) behind an ohmic resistance. Breakdown, capacitance,
// recombination and high injection are left out.
type Model struct {
	SaturationAmperes float64 // IS at NominalCelsius; positive
	Emission          float64 // N; positive
	SeriesOhms        float64 // RS; zero or more, but for a circuit that has nothing else to hold the current
	SaturationPower   float64 // XTI, the temperature exponent of IS; 3 for a junction of silicon
	GapVolts          float64 // EG, electronvolts; 1.11 for silicon
	NominalCelsius    float64 // TNOM, the temperature of IS
}

// Diode is a string of so many equal diodes in series at one temperature.
type Diode struct {
	Model    Model
	InSeries int // at least 1
	Celsius  float64
}

// Check refuses a diode that the law does not describe.
func (d Diode) Check() error {
	m := d.Model
	switch {
	case !(m.SaturationAmperes > 0) || math.IsInf(m.SaturationAmperes, 1):
		return errors.New("a diode needs a saturation current above zero")
	case !(m.Emission > 0) || math.IsInf(m.Emission, 1):
		return errors.New("a diode needs an emission coefficient above zero")
	case !(m.SeriesOhms >= 0) || math.IsInf(m.SeriesOhms, 1):
		return errors.New("a diode needs an ohmic resistance of zero or more")
	case !finite(m.SaturationPower) || !finite(m.GapVolts):
		return errors.New("a diode needs finite temperature coefficients")
	case !(m.NominalCelsius > -zeroCelsius) || !(d.Celsius > -zeroCelsius) || !finite(m.NominalCelsius+d.Celsius):
		return errors.New("a diode needs a temperature above absolute zero")
	case d.InSeries < 1:
		return errors.New("a string of diodes needs at least one")
	}
	return nil
}

// SaturationAmperes is IS at the diode's temperature:
// IS·(T/Tnom)^(XTI/N)·exp(EG/(N·kT/q)·(T/Tnom − 1)).
func (d Diode) SaturationAmperes() float64 {
	m := d.Model
	ratio := (d.Celsius + zeroCelsius) / (m.NominalCelsius + zeroCelsius)
	return m.SaturationAmperes * math.Pow(ratio, m.SaturationPower/m.Emission) * math.Exp(m.GapVolts/d.slopeVolts()*(ratio-1))
}

// slopeVolts is N·kT/q of one diode.
func (d Diode) slopeVolts() float64 {
	return d.Model.Emission * boltzmann * (d.Celsius + zeroCelsius) / elementaryCharge
}

// Amperes is the current of the string with so many volts across it, and its
// slope in amperes per volt. The string is one junction and one resistance: rs·I(vj)
// + vj = v is solved for the junction voltage vj by Newton's method from above the
// root, where it cannot overshoot: the left side is convex and rises.
func (d Diode) Amperes(v float64) (i, g float64) {
	n := float64(d.InSeries)
	is, vt, rs := d.SaturationAmperes(), n*d.slopeVolts(), n*d.Model.SeriesOhms
	vj := v
	if rs > 0 && v > 0 {
		vj = min(v, vt*math.Log1p(v/(rs*is)))
	}
	for range 200 {
		i, g = is*math.Expm1(vj/vt), is/vt*math.Exp(vj/vt)
		step := (vj + rs*i - v) / (1 + rs*g)
		if rs == 0 || math.Abs(step) <= 1e-16*math.Abs(vj) {
			break
		}
		vj -= step
	}
	return i, g / (1 + rs*g)
}
