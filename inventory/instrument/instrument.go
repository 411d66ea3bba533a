// Package instrument says what ohmmeters promise: as it is printed in their
// data sheets, "0.8 % + 1 count + 0.03 ohm", and in the JSON file that holds
// the promises of all instruments of a workshop by name.
package instrument

import "fmt"

// Instrument is what an ohmmeter promises: the limit of a reading is
// ±(GainPercent of it + Counts × its last digit + FloorOhms). No field may be
// negative.
type Instrument struct {
	GainPercent float64
	Counts      float64
	FloorOhms   float64
	Wires       int // 2 or 4; with 4 the leads are zero

	LeadsOhms      float64 // resistance of the leads, in every two-wire reading
	LeadsFloorOhms float64 // what is uncertain of LeadsOhms
}

// Unnamed stands for the instrument of all readings whose instrument is not
// said. No instrument can be called so.
const Unnamed = "(unnamed)"

// MostGainPercent is the largest gain of an instrument's limit that is taken, in
// percent of the reading: what is trusted to more than half of itself was not
// measured (common practice: ohmmeters promise 0.01 % to 20 %).
const MostGainPercent = 50

// ValidGain refuses a gain in percent above MostGainPercent. It is nobody's
// promise, but a slip of the decimal point.
func ValidGain(percent float64) error {
	if percent > MostGainPercent {
		return fmt.Errorf("%g %% of the reading is more than %d %%, which no ohmmeter is trusted to; is the decimal point right?", percent, MostGainPercent)
	}
	return nil
}

// HandHeld returns what is assumed of an instrument that nobody names: ±0.8 %
// and one count, two wires (common practice for a hand-held meter).
func HandHeld() Instrument { return Instrument{GainPercent: 0.8, Counts: 1, Wires: 2} }
