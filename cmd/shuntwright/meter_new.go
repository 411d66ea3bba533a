package main

import (
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/safefile"
	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/quantity"
)

func meterNewCommand() *command {
	return &command{
		name: "meter new", operands: "FILE", least: 1, most: 1,
		does: "writes a meter file, from flags or by asking",
		more: `Without flags on a terminal it asks. Circuits stand in the order of their flags;
of several ranges a flag makes one circuit where they share their resistors, else
one each. A circuit takes further fields as KEY=VALUE: contact=5mohm, and
circuit-volts=450V for the voltage to earth of the lead that a shunt sits in (say
it: such a shunt is deadly, and every answer about it then says so); voltage
ranges that feed a ring which stays across the movement take with-ring=10mA, the
range of the ring that they feed. How far a given resistance is trusted:
shunt-limit=1%, shunt-instrument=bridge, and so for series, contact and swamp.
--full-scale-limit, --coil-limit and --swamp-limit say it of the movement; without
them the current is taken as exact, and the coil to what its --instrument promises.`,
		example: `shuntwright meter new bench.json --full-scale 1mA --coil "98.6 ohm" \
  --shunt "5 mA,grid 50 mA" --multiplier "15 V,150 V"
  a 1 mA movement with two current and two voltage ranges, in bench.json`,
		flags: append([]string{"name", "full-scale", "full-scale-limit", "coil", "coil-limit", "swamp", "swamp-limit", "divisions", "meter-class", "instrument", "wait"}, kindNames()...),
		run:   runMeterNew,
	}
}

// kindNames are the kinds of circuit, each a flag.
func kindNames() []string {
	var out []string
	for _, k := range meter.Kinds() {
		out = append(out, k.Name)
	}
	return out
}

// runMeterNew writes a new meter file, never over one that exists.
func runMeterNew(c *call) (report.Document, error) {
	path := c.args[0]
	if exists(path) {
		return report.Document{}, fmt.Errorf("%q is there already and stays as it is; name another file", path)
	}
	if c.flags.NFlag() == 0 && c.env.asks {
		if err := c.askMeter(); err != nil {
			return report.Document{}, err
		}
	}
	desc, err := c.describe(path)
	if err != nil {
		return report.Document{}, err
	}
	data, err := meterfile.Encode(desc)
	if err != nil {
		return report.Document{}, err
	}
	file, err := meterfile.Parse(path, data)
	if err != nil {
		return report.Document{}, err
	}
	if _, err := file.Meter.Targets(); err != nil {
		return report.Document{}, err
	}
	c.save = func(in *safefile.Change) error { return writeNew(in, path, data) }
	return newMeterDocument(path, file.Meter), nil
}

// newMeterDocument says what was written and what comes next.
func newMeterDocument(path string, m *meter.Meter) report.Document {
	answer := struct {
		Written   string   `json:"written"`
		Meter     string   `json:"meter"`
		Ranges    []string `json:"ranges"`
		Positions []string `json:"positions"`
		report.Notes
	}{Written: path, Meter: m.Name, Ranges: []string{}, Positions: []string{}}
	for _, r := range m.Ranges() {
		answer.Ranges = append(answer.Ranges, r.Name)
	}
	for _, p := range m.Positions() {
		answer.Positions = append(answer.Positions, p.Name)
	}
	answer.Cautions, answer.Assumptions = asbuilt.InFull(asbuilt.Of(m)), asbuilt.RingOut(m) // the first answer about a meter says it all
	return report.Document{
		Heading: fmt.Sprintf("written: %s, %s with %s and %s", path, m.Name, report.Counted(len(answer.Ranges), "range"), report.Counted(len(answer.Positions), "position")),
		Next:    "shuntwright targets " + report.InShell(path),
		Notes:   answer.Notes, Answer: answer, Good: true,
	}
}

// describe puts the flags into the words of the meter file.
func (c *call) describe(path string) (meterfile.Description, error) {
	o := &c.options
	desc := meterfile.NewDescription(o.meterName, o.fullScale, o.coil)
	desc.Swamp, desc.Instrument = o.swamp, o.instrument
	if desc.Name == "" {
		base := filepath.Base(path)
		desc.Name = strings.TrimSuffix(base, filepath.Ext(base))
	}
	if o.fullScale == "" || o.coil == "" {
		return desc, misused("--full-scale and --coil say what the movement is, such as --full-scale 1mA --coil 98.6")
	}
	if len(o.circuits) == 0 {
		return desc, misused("no range is given; say for example --shunt \"5 mA,50 mA\" or --multiplier \"15 V\"")
	}
	for _, check := range []struct {
		flag, text string
		unit       quantity.Unit
		sign       quantity.Sign
		number     *float64
	}{
		{"full-scale-limit", o.fullScaleLimit, quantity.Percent, quantity.NotNegative, &desc.FullScaleLimitPercent},
		{"coil", o.coil, quantity.Ohm, quantity.Positive, nil},
		{"swamp", o.swamp, quantity.Ohm, quantity.NotNegative, nil},
		{"swamp-limit", o.swampLimit, quantity.Percent, quantity.NotNegative, &desc.SwampLimitPercent},
		{"divisions", o.divisions, quantity.Division, quantity.Positive, &desc.Divisions},
	} {
		if err := optional(check.flag, check.text, check.unit, check.sign, check.number); err != nil {
			return desc, err
		}
	}
	if o.swampLimit != "" && o.swamp == "" {
		return desc, misused("--swamp-limit %s: there is no swamping resistor; say what it is with --swamp", o.swampLimit)
	}
	if err := fullScaleCurrent(o.fullScale); err != nil {
		return desc, misused("--full-scale: %w", err)
	}
	if err := optionalClass(o.meterClass); err != nil {
		return desc, misused("--class: %w", err)
	}
	if err := optional("class", o.meterClass, quantity.Percent, quantity.Positive, &desc.Class); err != nil {
		return desc, err
	}
	err := o.limitCoil(&desc)
	if err == nil {
		desc.Circuits, err = describeCircuits(o.circuits)
	}
	return desc, err
}

// largestBare is the largest full-scale current in amperes that is taken without
// a unit: no moving coil carries more (common practice: up to some tens of
// milliamperes), so that milliamperes or microamperes were meant.
const largestBare = 0.1

// fullScaleCurrent refuses what is no full-scale current of a movement, and a
// number without a unit that would be one in amperes.
func fullScaleCurrent(text string) error {
	v, err := quantity.Parse(text, quantity.Ampere, quantity.Positive)
	if err != nil {
		return err
	}
	if v.Base > largestBare && !strings.ContainsAny(text, "aA") {
		return fmt.Errorf("%q without a unit is %s; write the unit, such as %s uA or %s mA", text, quantity.Format(v.Base, quantity.Ampere, 3), text, text)
	}
	return nil
}

// limitCoil puts the limit of the coil into the words of the meter file; its
// counts are of the last digit of the coil's resistance as typed.
func (o *options) limitCoil(desc *meterfile.Description) error {
	if o.coilLimit == "" {
		return nil
	}
	limit, err := parseAccuracy(o.coilLimit)
	if err != nil {
		return misused("--coil-limit: %w", err)
	}
	coil, err := quantity.Parse(o.coil, quantity.Ohm, quantity.Positive)
	if err != nil {
		return misused("--coil: %w", err)
	}
	desc.CoilGainPercent = limit.GainPercent
	if floor := limit.Counts*coil.Step + limit.FloorOhms; floor > 0 {
		desc.CoilFloor = strconv.FormatFloat(roundUp(floor, 6), 'f', -1, 64) + " ohm"
	}
	return nil
}

// optional checks a flag that may be left out, and puts its number where it is
// wanted, NaN where it was left out.
func optional(flag, text string, unit quantity.Unit, sign quantity.Sign, to *float64) error {
	value := quantity.Value{Base: math.NaN()}
	if text != "" {
		var err error
		if value, err = quantity.Parse(text, unit, sign); err != nil {
			return misused("--%s: %w", flag, err)
		}
	}
	if to != nil {
		*to = value.Base
	}
	return nil
}
