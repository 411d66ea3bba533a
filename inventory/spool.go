package inventory

import (
	"fmt"
	"math"

	"shuntwright/meter/quantity"
)

// IsSpool tells wire, known by its resistance per metre, from a resistor. It
// stands in the drawer and is no part that a network could take whole.
func (p Part) IsSpool() bool { return p.Ohms.Unit == quantity.OhmPerMetre }

// ShortestMetres is the shortest piece of wire that can be wound and soldered:
// half a millimetre at its joints is 2.5 % of it, which trimming must take out.
const ShortestMetres = 0.020

// halfMillimetre is how far the length of a piece of wire is uncertain where its
// joints are, in metres.
const halfMillimetre = 0.0005

// shownDigits are the digits that a piece is read with while it is trimmed
// (common practice: a display of three and a half digits or more).
const shownDigits = 4

// MeasureWire says what a piece of so many metres off a spool is worth, once it
// was trimmed until it read true with the spool's instrument: that one's limit,
// and half a millimetre of wire at the joints; it is trimmed with four wires. A
// part that is no spool, and an instrument that is not defined, are refused.
func (in Instruments) MeasureWire(p Part, metres float64) (Measured, error) {
	if !p.IsSpool() {
		return Measured{}, about(p, "ohms", "it is no spool of wire, so no length of it can be cut; write its id alone")
	}
	by, err := in.of(p)
	if err != nil {
		return Measured{}, err
	}
	m := Measured{ID: p.ID, Ohms: p.Ohms.Base * metres, Shared: p.Instrument}
	in.rest(p, &m)
	m.GainPercent = either(p.GainPercent, by.GainPercent)
	step := math.Pow(10, math.Floor(math.Log10(m.Ohms))+1-shownDigits)
	m.FloorOhms = either(p.FloorOhms, by.Counts*step+by.FloorOhms) + halfMillimetre*p.Ohms.Base
	return m, nil
}

// measureSpool says what a metre of a spool is worth. Of one that is known by a
// table, with its tolerance, nobody has read anything.
func (in Instruments) measureSpool(p Part) (Measured, error) {
	m, err := in.MeasureWire(p, 1)
	if err != nil || !math.IsNaN(p.TolerancePercent) || !math.IsNaN(p.FloorOhms) {
		return m, err
	}
	by, err := in.of(p)
	m.TwoWires = by.ReadThrough("a metre of "+p.ID, m.Ohms)
	return m, err
}

// Cut takes so many metres off a spool of the drawer, or gives them back where
// metres is negative. What is not left, and a part that is no spool, are errors.
func (d *Drawer) Cut(id string, metres float64) error {
	p, _, found := d.Find(id)
	switch {
	case !found:
		return fmt.Errorf("cut wire: %w", d.noPart(id))
	case !p.IsSpool():
		return fmt.Errorf("cut wire: part %q is no spool", id)
	case metres > p.Metres*(1+1e-9):
		return fmt.Errorf("cut wire: spool %q has %s left, and %s are wanted", id, quantity.Format(p.Metres, quantity.Metre, 4), quantity.Format(metres, quantity.Metre, 4))
	}
	p.Metres = math.Round(max(0, p.Metres-metres)*1e6) / 1e6 // a micrometre is less than anybody cuts
	return d.Replace(p)
}
