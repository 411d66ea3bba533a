package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

// dropReading is a part taken by the voltage that a known current drops across
// it; its limit, made of both instruments' limits, becomes the part's own.
func (c *call) dropReading(like *inventory.Part) (quantity.Value, error) {
	o := &c.options
	if !c.flags.Changed("drop") || !c.flags.Changed("current") || len(c.args) > 0 {
		return quantity.Value{}, misused("--drop and --current go together and stand in place of a VALUE: --drop 0.1023V --current 0.5A")
	}
	if err := c.dropInstrument(); err != nil {
		return quantity.Value{}, err
	}
	m, err := inventory.DropMeasurement{
		Volts: o.drop.value.Base, VoltsGainPercent: float64(o.dropPercent), FloorVolts: o.drop.value.Step,
		Amperes: o.current.value.Base, AmperesGainPercent: float64(o.currentPercent), FloorAmperes: o.current.value.Step,
	}.Measured()
	if err != nil {
		return quantity.Value{}, err
	}
	like.GainPercent, like.FloorOhms = roundUp(m.GainPercent, 6), roundUp(m.FloorOhms, 2)
	if like.Note == "" {
		like.Note = fmt.Sprintf("by %s at %s", o.drop.value.Text, o.current.value.Text)
	}
	return quantity.Parse(strconv.FormatFloat(m.Ohms, 'g', 6, 64), quantity.Ohm, quantity.Positive)
}

// dropInstrument refuses an instrument whose leads would be subtracted from a
// reading that they are not in.
func (c *call) dropInstrument() error {
	in, err := c.readInstruments()
	if by := in[c.options.instrument]; err != nil || c.options.instrument == "" || by.LeadsOhms == 0 && by.LeadsFloorOhms == 0 {
		return err
	}
	return misused("--instrument %q has leads, which a drop is measured without; describe the two meters as one instrument: shuntwright drawer instrument \"volts and amperes\" --accuracy \"1.5 %%\" --wires 4", c.options.instrument)
}

// dropAssumptions says what is taken for granted of the two meters.
func (c *call) dropAssumptions() []string {
	out := c.trustedMeters("drop-percent", "current-percent")
	if c.options.instrument == "" {
		out = append(out, "the two meters have the same gain error as whatever read the parts without a named instrument; --instrument NAME tells them apart")
	}
	return out
}

// trustedMeters says how far the meters of these flags are trusted where nobody
// says it.
func (c *call) trustedMeters(flags ...string) []string {
	var meters, unsaid []string
	for _, flag := range flags {
		meter, percent := "the voltmeter", c.options.dropPercent
		if flag == "current-percent" {
			meter, percent = "the ammeter", c.options.currentPercent
		}
		if !c.flags.Changed(flag) {
			meters = append(meters, fmt.Sprintf("%s to ±%g %% and one count", meter, float64(percent)))
			unsaid = append(unsaid, "--"+flag)
		}
	}
	if len(meters) == 0 {
		return nil
	}
	trusted := "trusted is"
	if len(meters) > 1 {
		trusted = "trusted are"
	}
	return []string{fmt.Sprintf("%s %s (common practice); %s may say better", trusted, strings.Join(meters, ", "), strings.Join(unsaid, " and "))}
}

// roundUp keeps so many digits of a limit and never makes it smaller, but for
// what is left of the rounding of a sum.
func roundUp(limit float64, digits int) float64 {
	if !(limit > 0) || math.IsInf(limit, 1) {
		return limit
	}
	const rounding = 1e-12
	step := math.Pow(10, math.Floor(math.Log10(limit))-float64(digits-1))
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(math.Ceil(limit/step*(1-rounding))*step, 'g', digits, 64), 64)
	if err != nil {
		return limit
	}
	return rounded
}
