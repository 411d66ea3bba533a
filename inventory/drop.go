package inventory

import (
	"fmt"
	"math"
)

// DropMeasurement is a resistance measured as the voltage that a known current
// drops across it: leads and contacts do not count, which makes it the way for
// parts of a few ohms and less. The limit of each reading is ±(gain percent of
// it + floor). All fields must be finite, the readings positive and the limits
// not negative.
type DropMeasurement struct {
	Volts, VoltsGainPercent, FloorVolts       float64
	Amperes, AmperesGainPercent, FloorAmperes float64
	Shared                                    string // key of the gain error, one for each pair of instruments; empty: this part's own
}

// Measured returns volts / amperes. Its limit is to first order the largest
// error that the two limits allow: their relative sizes add up. Readings and
// limits that are not as required are an error.
func (d DropMeasurement) Measured() (Measured, error) {
	for _, reading := range []float64{d.Volts, d.Amperes} {
		if !(reading > 0) || math.IsInf(reading, 1) {
			return Measured{}, fmt.Errorf("resistance from %g V at %g A: both must be more than zero", d.Volts, d.Amperes)
		}
	}
	for _, limit := range []float64{d.VoltsGainPercent, d.FloorVolts, d.AmperesGainPercent, d.FloorAmperes} {
		if !(limit >= 0) || math.IsInf(limit, 1) {
			return Measured{}, fmt.Errorf("resistance from %g V at %g A: the limit %g is negative or not finite", d.Volts, d.Amperes, limit)
		}
	}
	ohms := d.Volts / d.Amperes
	return Measured{
		Ohms:        ohms,
		GainPercent: d.VoltsGainPercent + d.AmperesGainPercent,
		FloorOhms:   ohms * (d.FloorVolts/d.Volts + d.FloorAmperes/d.Amperes),
		Shared:      d.Shared,
	}, nil
}
