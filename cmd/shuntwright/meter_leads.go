package main

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/inventory/instrument"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/quantity"
)

// leadsInStated warns of resistances that a meter file states as read with an
// instrument by whose leads they may be off, but for those that stood in it before:
// it takes them as they stand.
func (c *call) leadsInStated(file, before *meterfile.File) ([]string, error) {
	in, err := c.readInstruments()
	if err != nil {
		return nil, err
	}
	const matters = 0.05 // share of what is stated
	resistors := file.Meter.Resistors()
	var out []string
	var through []*instrument.TwoWires
	for _, one := range file.Stated {
		name, leads := resistors[one.Resistor].Name, in[one.Instrument].LeadsOhms
		stood := before != nil && slices.ContainsFunc(before.Stated, func(o meterfile.Stated) bool {
			return before.Meter.Resistors()[o.Resistor].Name == name && o.Value == one.Value && o.Instrument == one.Instrument
		})
		if one.Instrument == "" || !math.IsNaN(one.LimitPercent) || stood || !in.Any() {
			continue
		}
		m, err := in.AsItStands(asbuilt.Unlisted(one.Value, one.Instrument))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		if m.TwoWires != nil {
			m.TwoWires.Of = name
			through = append(through, m.TwoWires)
		}
		if leads > matters*one.Value.Base {
			out = append(out, fmt.Sprintf("%s is taken as it stands, %s: %q shows its leads of %s with it; where they are not taken off yet, type it less those",
				name, quantity.Format(one.Value.Base, quantity.Ohm, 4), one.Instrument, quantity.Format(leads, quantity.Ohm, 3)))
		}
	}
	return append(out, instrument.Warnings(through)...), nil
}
