package main

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/instrument"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/quantity"
)

// meterField is one thing that is said of a meter and its movement: by a flag,
// or at a prompt.
type meterField struct {
	flag, field string // field is empty where the meter file has it in other words
	prompt      string // empty: it is not asked for
	to          *string
	needed      bool
	check       func(string) error // of a text that is not empty
}

// What is beyond these was meant otherwise: no moving coil comes near
// (common practice: 10 uA to some tens of milliamperes, ohms to some kilohms).
const (
	largestFullScale = 10.0 // amperes
	largestCoil      = 1e6  // ohms
	largestLimit     = 20.0 // percent
	leastDivisions   = 4
	mostDivisions    = 1000
	coldestCoil      = -40.0 // °C
	warmestCoil      = 85.0  // °C
)

// meterFields are all of them, in the order in which they are asked for.
func (o *options) meterFields() []meterField {
	return []meterField{
		{"name", "name", "name of the meter", &o.meterName, false, nil},
		{"full-scale", "full_scale", "full-scale current of the movement, such as 1 mA or 50 uA", &o.fullScale, true, fullScaleCurrent},
		{"coil", "coil", "coil resistance in ohms, as measured (never with an ohmmeter across the movement: its current can destroy it)", &o.coil, true,
			upTo(quantity.Ohm, quantity.Positive, largestCoil, "no moving coil has that; is the prefix right?")},
		{"instrument", "instrument", "name of the instrument that measured the coil, as drawer instrument calls it (empty: none is named)", &o.instrument, false, instrumentName},
		{"full-scale-limit", "full_scale_limit_percent", "limit of the full-scale current in percent (empty: taken as exact)", &o.fullScaleLimit, false,
			upTo(quantity.Percent, quantity.NotNegative, largestLimit, "a current is known to some percent at worst")},
		{"coil-limit", "", "limit of the coil resistance, such as 0.5 % + 1 count, or 0.2 ohm (empty: what that instrument promises)", &o.coilLimit, false, coilLimitText},
		{"swamp", "swamp", "swamping resistor in ohms (empty: none)", &o.swamp, false,
			upTo(quantity.Ohm, quantity.NotNegative, largestCoil, "no movement is swamped by that; is the prefix right?")},
		{"swamp-limit", "swamp_limit_percent", "", &o.swampLimit, false, upTo(quantity.Percent, quantity.NotNegative, largestLimit, "a resistor is known to some percent at worst")},
		{"divisions", "divisions", "divisions of the scale (empty: not known)", &o.divisions, false,
			divisionsText},
		{"class", "class", "accuracy class in percent (empty: none)", &o.meterClass, false, classText},
		{"coil-temperature", "reference_celsius", "", &o.coilTemperature, false, coilTemperatureText},
	}
}

// upTo checks a quantity that makes sense up to some value.
func upTo(unit quantity.Unit, sign quantity.Sign, most float64, beyond string) func(string) error {
	return func(text string) error {
		v, err := quantity.Parse(text, unit, sign)
		if err == nil && v.Base > most {
			err = fmt.Errorf("%q is more than %s: %s", text, quantity.Format(most, unit, 2), beyond)
		}
		return err
	}
}

// divisionsText takes the divisions of a scale.
func divisionsText(text string) error {
	v, err := quantity.Parse(text, quantity.Division, quantity.Positive)
	if err == nil && (v.Base > mostDivisions || v.Base < leastDivisions) {
		err = fmt.Errorf("%q: no scale has so %s divisions; scales have 10 to 200 (common practice)", text, report.Either(v.Base > mostDivisions, "many", "few"))
	}
	return err
}

// largestBare is the largest full-scale current in amperes that is taken without
// a unit: no moving coil carries more (common practice: up to some tens of
// milliamperes), so that milliamperes or microamperes were meant.
const largestBare = 0.1

// coilTemperatureText takes the temperature of a coil while it was measured.
func coilTemperatureText(text string) error {
	v, err := quantity.Parse(text, quantity.Celsius, quantity.AnySign)
	if err == nil && (v.Base < coldestCoil || v.Base > warmestCoil) {
		err = fmt.Errorf("%q: nobody measures a coil at that; a temperature such as 23C belongs here", text)
	}
	return err
}

// coilAt is what is taken for the temperature of a coil that nobody says.
func (o *options) coilAt() []string {
	if o.coilTemperature != "" {
		return nil
	}
	return []string{"the coil was measured at 20 °C, 0.4 %/K (--coil-temperature)"}
}

// fullScaleCurrent refuses what is no full-scale current of a movement, and a
// number without a unit that would be one in amperes.
func fullScaleCurrent(text string) error {
	v, err := quantity.Parse(text, quantity.Ampere, quantity.Positive)
	switch {
	case err != nil:
		return err
	case v.Base > largestBare && !strings.ContainsAny(text, "aA"):
		return fmt.Errorf("%q without a unit is %s; write the unit, such as %s uA or %s mA", text, quantity.Format(v.Base, quantity.Ampere, 3), text, text)
	case v.Base > largestFullScale:
		return fmt.Errorf("%q is %s, and no movement takes that; m is milli and M is mega, write such as 1 mA", text, quantity.Format(v.Base, quantity.Ampere, 3))
	}
	return nil
}

// instrumentName refuses what cannot be the name of an instrument, and what was
// meant to be its accuracy.
func instrumentName(text string) error {
	if err := instrument.ValidName(text); err != nil {
		return err
	}
	if _, err := parseAccuracy(text); err == nil {
		return fmt.Errorf("%q is an accuracy, not what an instrument is called; its name belongs here, such as \"hand meter\"", text)
	}
	return nil
}

// namedIn are the instruments that a meter file names.
func namedIn(f *meterfile.File) []string {
	names := []string{f.Meter.Movement.Instrument}
	for _, s := range f.Stated {
		names = append(names, s.Instrument)
	}
	return slices.DeleteFunc(report.Unique(names), func(name string) bool { return name == "" })
}

// undescribed refuses the names of instruments that are not among those which are
// described; where none is yet, it warns of that.
func (c *call) undescribed(names ...string) (warnings []string, err error) {
	if len(names) == 0 {
		return nil, nil
	}
	in, err := c.readInstruments()
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		if !in.Any() {
			warnings = append(warnings, fmt.Sprintf("nothing is known of %q yet: shuntwright drawer instrument %s --accuracy \"0.5 %% + 1 count\"", name, report.InShell(name)))
		} else if err := in.Defined(name); err != nil {
			return nil, fmt.Errorf("%w%s", err, report.Meant(name, slices.Sorted(maps.Keys(in))))
		}
	}
	return warnings, nil
}

// coilLimit reads how far a coil is known: what a data sheet promises, or ohms.
func coilLimit(text string) (instrument.Instrument, error) {
	if _, err := quantity.ParseNamed(text, quantity.NotNegative, quantity.Ohm); err == nil {
		text = "0 % + " + text
	}
	return parseAccuracy(text)
}

// coilLimitText takes what coilLimit reads.
func coilLimitText(text string) error {
	_, err := coilLimit(text)
	return err
}

// classText takes an accuracy class.
func classText(text string) error {
	if _, err := quantity.Parse(text, quantity.Percent, quantity.Positive); err != nil {
		return err
	}
	p := percent(0)
	return atMost{&p, meterfile.MostClass, classHint, true}.Set(text)
}

// checked refuses a text that is wrong for its field, and none where one is
// needed.
func (f meterField) checked() error {
	switch text := strings.TrimSpace(*f.to); {
	case text == "" && f.needed:
		return misused("--%s cannot be left empty: %s", f.flag, f.prompt)
	case text == "" || f.check == nil:
		return nil
	default:
		if err := f.check(text); err != nil {
			return misused("--%s: %w", f.flag, err)
		}
		return nil
	}
}

// inFile is a field in the words of the meter file.
func (f meterField) inFile() meterfile.Given {
	text := strings.TrimSpace(*f.to)
	unit := map[string]quantity.Unit{"full_scale_limit_percent": quantity.Percent, "swamp_limit_percent": quantity.Percent, "class": quantity.Percent, "divisions": quantity.Division, "reference_celsius": quantity.Celsius}[f.field]
	if v, err := quantity.Parse(text, unit, quantity.AnySign); unit != "" && err == nil {
		text = strconv.FormatFloat(v.Base, 'g', -1, 64)
	}
	return meterfile.Given{Field: f.field, Text: text}
}

// coilLimitInFile is the limit of the coil in the words of the meter file; its
// counts are of the last digit of the coil's resistance as typed.
func (o *options) coilLimitInFile(coil string) ([]meterfile.Given, error) {
	out := []meterfile.Given{{Field: "coil_gain_percent"}, {Field: "coil_floor"}}
	if o.coilLimit == "" {
		return out, nil
	}
	limit, err := coilLimit(o.coilLimit)
	if err != nil {
		return nil, misused("--coil-limit: %w", err)
	}
	v, err := quantity.Parse(coil, quantity.Ohm, quantity.Positive)
	if err != nil {
		return nil, misused("--coil: %w", err)
	}
	out[0].Text = strconv.FormatFloat(limit.GainPercent, 'g', -1, 64)
	if floor := limit.Counts*v.Step + limit.FloorOhms; floor > 0 {
		out[1].Text = strconv.FormatFloat(roundUp(floor, 6), 'f', -1, 64) + " ohm"
	}
	return out, nil
}

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
