package inventory

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"shuntwright/meter/quantity"
)

// Instrument is what an ohmmeter promises: the limit of a reading is
// ±(GainPercent of it + Counts × its last digit + FloorOhms).
type Instrument struct {
	GainPercent float64
	Counts      float64
	FloorOhms   float64
	Wires       int // 2 or 4; with 4 the leads are zero

	LeadsOhms      float64 // resistance of the leads, in every two-wire reading
	LeadsFloorOhms float64 // what is uncertain of LeadsOhms
}

// Instruments are the instruments by name.
type Instruments map[string]Instrument

// Unnamed is the key of the gain error that all readings share whose
// instrument is not said. No instrument can be called so.
const Unnamed = "(unnamed)"

// assumed is what a hand-held meter promises, common practice.
var assumed = Instrument{GainPercent: 0.8, Counts: 1, Wires: 2}

// Measured is the resistance of a part and how far it can be trusted.
type Measured struct {
	Ohms        float64  // the reading, leads subtracted; what is marked if there is no reading
	GainPercent float64  // of Ohms: the part of the limit that grows with the reading
	FloorOhms   float64  // the part of the limit that does not
	Shared      string   // key of the gain error: one value of it holds for all parts of the same key. Empty: the part's own
	Assumed     bool     // the limit rests on what was assumed of the unnamed instrument
	Warnings    []string // what to think of before trusting it
}

// LimitOhms returns the half-width in ohms within which the resistance is
// trusted: gain and floor added up.
func (m Measured) LimitOhms() float64 { return m.Ohms*m.GainPercent/100 + m.FloorOhms }

// Measure says what a part's reading is worth. The leads of a two-wire
// instrument are subtracted; as its gain error is one of the whole reading,
// GainPercent is larger then, by reading / resistance. A part's own
// GainPercent and FloorOhms replace its instrument's gain, and its counts and
// floor; what is uncertain of the leads stays. A part that was never measured
// has its nominal resistance with the tolerance as its own gain error. An
// instrument that is not defined, and leads that leave nothing of a reading,
// are refused.
func (in Instruments) Measure(p Part) (Measured, error) {
	if !p.Measured() {
		if wrong := p.whole(); wrong != nil {
			return Measured{}, wrong.error
		}
		return Measured{Ohms: p.Nominal.Base, GainPercent: p.TolerancePercent}, nil
	}
	instrument, err := in.of(p)
	if err != nil {
		return Measured{}, err
	}
	reading := p.Ohms.Base
	m := Measured{Ohms: reading - instrument.LeadsOhms, Shared: p.Instrument}
	if p.Instrument == "" {
		m.Shared = Unnamed
		m.Assumed = math.IsNaN(p.GainPercent) || math.IsNaN(p.FloorOhms)
	}
	if !(m.Ohms > 0) {
		return Measured{}, fmt.Errorf("%sthe reading %s is not more than the leads of %q, %s; measure it again, or correct leads",
			prefix(p), quantity.Format(reading, quantity.Ohm, 4), p.Instrument, quantity.Format(instrument.LeadsOhms, quantity.Ohm, 4))
	}
	m.GainPercent = either(p.GainPercent, instrument.GainPercent) * reading / m.Ohms
	if math.IsNaN(p.FloorOhms) && instrument.Counts > 0 && !(p.Ohms.Step > 0) {
		return Measured{}, fmt.Errorf("%sthe last digit of the reading is not known, so its counts are not; give floor_ohms", prefix(p))
	}
	m.FloorOhms = either(p.FloorOhms, instrument.Counts*p.Ohms.Step+instrument.FloorOhms) + instrument.LeadsFloorOhms
	if warning := instrument.twoWire(m.Ohms); warning != "" && math.IsNaN(p.FloorOhms) { // a floor of its own knows better
		m.Warnings = []string{prefix(p) + warning}
	}
	return m, nil
}

// of returns the instrument that read a part.
func (in Instruments) of(p Part) (Instrument, error) {
	if p.Instrument == "" {
		return assumed, nil
	}
	instrument, found := in[p.Instrument]
	if found {
		return instrument, nil
	}
	if len(in) == 0 {
		return Instrument{}, fmt.Errorf("%sthe instrument %q is not defined, nor is any; describe it in the instruments' file", prefix(p), p.Instrument)
	}
	var names []string
	for _, name := range slices.Sorted(maps.Keys(in)) {
		names = append(names, fmt.Sprintf("%q", name))
	}
	return Instrument{}, fmt.Errorf("%sthe instrument %q is not defined; those that are: %s", prefix(p), p.Instrument, strings.Join(names, ", "))
}

// prefix says which part an error or a warning is about; a resistance that is
// no part of the drawer has no id.
func prefix(p Part) string {
	if p.ID == "" {
		return ""
	}
	return "part " + p.ID + ": "
}

// either returns own unless it is NaN.
func either(own, other float64) float64 {
	if math.IsNaN(own) {
		return other
	}
	return own
}

// What two-wire readings suffer from, common practice: leads and clips of a
// hand-held meter have some half an ohm if they are not subtracted, and their
// contacts vary by some hundredths all the same.
const (
	lowOhms      = 5
	leadsOhms    = 0.5
	contactsOhms = 0.05
)

// twoWire warns of a low resistance that was read through its leads.
func (i Instrument) twoWire(ohms float64) string {
	if i.Wires != 2 || ohms >= lowOhms {
		return ""
	}
	off, through := leadsOhms, "leads and contacts, which are not subtracted"
	if i.LeadsOhms > 0 || i.LeadsFloorOhms > 0 { // zeroed on the instrument, or here
		off, through = max(contactsOhms, i.LeadsFloorOhms), "contacts, though the leads are subtracted"
	}
	return fmt.Sprintf("%s read with two wires can be off by %s (%.0f %%) through %s; read it with four wires, or from the voltage that a known current drops across it",
		quantity.Format(ohms, quantity.Ohm, 4), quantity.Format(off, quantity.Ohm, 2), 100*off/ohms, through)
}
