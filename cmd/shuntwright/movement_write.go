package main

import (
	"fmt"
	"strconv"
	"strings"

	"shuntwright/cmd/shuntwright/internal/movement"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/inventory/safefile"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/quantity"
)

// found is a movement in the words of a meter file; what is not known is empty.
type found struct {
	fullScale, fullScaleLimit         string // with its unit; percent
	coil, coilGain, floor, instrument string
}

// inFileWords puts a finding into the words of a meter file. Limits there are
// rectangular; they are rounded up.
func (c *call) inFileWords(f movement.Finding) found {
	o := &c.options
	shared := o.instrument
	if shared == "" {
		shared = inventory.Unnamed
	}
	gain, floor := f.Coil.Parts(shared)
	out := found{coil: strings.Replace(quantity.Format(f.Coil.Value, quantity.Ohm, f.Coil.Digits()), "Ω", "ohm", 1), coilGain: limitText(gain, ""), floor: limitText(floor, " ohm"), instrument: o.instrument}
	if !f.FullScale.Known() {
		return out
	}
	out.fullScale = quantity.Format(f.FullScale.Value, quantity.Ampere, f.FullScale.Digits())
	switch {
	case o.knownFullScale.value.Text != "":
		out.fullScale = o.knownFullScale.value.Text
	case f.Method == "drop" && o.reads == "":
		out.fullScale = o.current.value.Text
	}
	_, half := f.FullScale.Parts("")
	out.fullScaleLimit = limitText(100*half/f.FullScale.Value, "")
	return out
}

// limitText writes a limit with two digits, rounded up; nothing for zero.
func limitText(x float64, unit string) string {
	if x == 0 {
		return ""
	}
	return strconv.FormatFloat(roundUp(x, 2), 'f', -1, 64) + unit
}

// writeMovement puts a finding into the meter file of --write. What is known of
// the old readings goes with them.
func (c *call) writeMovement(f movement.Finding) (said string, err error) {
	path := c.options.write
	if err := c.hold(path); err != nil {
		return "", err
	}
	was, data, stamp, err := c.readMeter(path)
	if err != nil {
		return "", err
	}
	as := c.inFileWords(f)
	fields := []meterfile.Given{{Field: "coil", Text: as.coil}, {Field: "coil_gain_percent", Text: as.coilGain}, {Field: "coil_floor", Text: as.floor}, {Field: "instrument", Text: as.instrument},
		meterField{field: "reference_celsius", to: &c.options.coilTemperature}.inFile()}
	said = fmt.Sprintf("written to %s: coil %s (was %s)", path, as.coil, was.Coil.Text)
	if as.fullScale != "" {
		fields = append(fields, meterfile.Given{Field: "full_scale", Text: as.fullScale}, meterfile.Given{Field: "full_scale_limit_percent", Text: as.fullScaleLimit})
		said += fmt.Sprintf(", full scale %s (was %s)", as.fullScale, was.FullScale.Text)
	}
	edit, err := meterfile.Edit(data)
	if err != nil {
		return "", fmt.Errorf("%s: %w", path, err)
	}
	edit.Set(fields...)
	if data, err = edit.Bytes(); err != nil {
		return "", fmt.Errorf("%s: %w", path, err)
	}
	c.save = func(in *safefile.Change) error { return in.Write(path, data, stamp) }
	return said, nil
}

// newMeterCall is the call that makes a meter of a finding, with the movement
// itself as its range; empty where the full-scale current is not known.
func (c *call) newMeterCall(f movement.Finding) string {
	as := c.inFileWords(f)
	if as.fullScale == "" {
		return ""
	}
	plain := strings.NewReplacer("Ω", "ohm", "µ", "u", " ", "", ",", ".") // a list of ranges takes no decimal comma
	call := "shuntwright meter new bench.json --full-scale " + plain.Replace(as.fullScale)
	if as.fullScaleLimit != "" {
		call += " --full-scale-limit " + as.fullScaleLimit
	}
	call += " --coil " + plain.Replace(as.coil)
	limit := as.coilGain + " %"
	if as.coilGain == "" {
		limit = "0 %"
	}
	if as.floor != "" {
		limit += " + " + as.floor
	}
	call += " --coil-limit " + report.InShell(limit)
	if as.instrument != "" {
		call += " --instrument " + report.InShell(as.instrument)
	}
	if t := c.options.coilTemperature; t != "" {
		call += " --coil-temperature " + report.InShell(t)
	}
	return call + " --direct " + plain.Replace(as.fullScale)
}
