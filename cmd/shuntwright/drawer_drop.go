package main

import (
	"fmt"
	"math"
	"strconv"

	"shuntwright/inventory"
	"shuntwright/inventory/instrument"
	"shuntwright/meter/quantity"
)

// dropReading is a part taken by the voltage that a known current drops across
// it; its limit, made of both instruments' limits, becomes the part's own.
func (c *call) dropReading(like *inventory.Part) (quantity.Value, error) {
	o := &c.options
	if !c.flags.Changed("drop") || !c.flags.Changed("current") || len(c.args) > 0 {
		return quantity.Value{}, misused("--drop and --current go together and stand in place of a VALUE: --drop 0.1023V --current 0.5A")
	}
	by, err := c.dropInstrument()
	if err != nil {
		return quantity.Value{}, err
	}
	taken := inventory.DropMeasurement{
		Volts: o.drop.value.Base, VoltsGainPercent: float64(o.dropPercent), FloorVolts: o.drop.value.Step,
		Amperes: o.current.value.Base, AmperesGainPercent: float64(o.currentPercent), FloorAmperes: o.current.value.Step,
	}
	if c.metersDescribed() { // their gain is the instrument's, and stays so
		taken.FloorVolts, taken.FloorAmperes = by.Counts*taken.FloorVolts+by.FloorOhms*taken.Amperes, by.Counts*taken.FloorAmperes
	}
	m, err := taken.Measured()
	if err != nil {
		return quantity.Value{}, err
	}
	like.FloorOhms = roundUp(m.FloorOhms, 2)
	if !c.metersDescribed() {
		like.GainPercent = roundUp(m.GainPercent, 6)
	}
	if like.Note == "" {
		like.Note = fmt.Sprintf("by %s at %s", o.drop.value.Text, o.current.value.Text)
	}
	return quantity.Parse(strconv.FormatFloat(m.Ohms, 'g', 6, 64), quantity.Ohm, quantity.Positive)
}

// metersDescribed tells that an instrument says what both meters promise, and no
// flag says otherwise.
func (c *call) metersDescribed() bool {
	return c.options.instrument != "" && !c.flags.Changed("drop-percent") && !c.flags.Changed("current-percent")
}

// dropInstrument is the named instrument. One whose leads would be subtracted from
// a reading that they are not in is refused.
func (c *call) dropInstrument() (by instrument.Instrument, err error) {
	in, err := c.readInstruments()
	if by = in[c.options.instrument]; err != nil || c.options.instrument == "" || by.LeadsOhms == 0 && by.LeadsFloorOhms == 0 {
		return by, err
	}
	return by, misused("--instrument %q has leads, which a drop is measured without; describe the two meters as one instrument: shuntwright drawer instrument \"volts and amperes\" --accuracy \"1.5 %%\" --wires 4", c.options.instrument)
}

// dropAssumptions says what is taken for granted of the two meters.
func (c *call) dropAssumptions() []string {
	if c.metersDescribed() {
		return nil
	}
	out := c.trustedMeters("drop-percent", "current-percent")
	if c.options.instrument == "" {
		out = append(out, "these meters share their gain error with unnamed ones (--instrument)")
	}
	return out
}

// trustedMeters says how far the meters of these flags are trusted where nobody
// says it.
func (c *call) trustedMeters(flags ...string) (out []string) {
	for _, flag := range flags {
		meter, percent := "the voltmeter", c.options.dropPercent
		if flag == "current-percent" {
			meter, percent = "the ammeter", c.options.currentPercent
		}
		if !c.flags.Changed(flag) {
			out = append(out, fmt.Sprintf("%s is good to ±%g %% and one count (--%s)", meter, float64(percent), flag))
		}
	}
	return out
}

// roundUp keeps so many digits of a limit and never makes it smaller, but for
// what is left of the rounding of a sum.
func roundUp(limit float64, digits int) float64 {
	if !(limit > 0) || math.IsInf(limit, 1) {
		return limit
	}
	const rounding = 1e-12
	step := math.Pow(10, math.Floor(math.Log10(limit))-float64(digits-1))
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(math.Ceil(limit/step*(1-rounding))*step, 'g', digits, 64), 64) // of its own text
	return rounded
}
