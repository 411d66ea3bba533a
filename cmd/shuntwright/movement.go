package main

import (
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/movement"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
)

// movementFlags are those that every way of measuring a movement takes.
var movementFlags = []string{"reads", "divisions", "instrument", "instruments", "drop-percent", "battery", "full-scale/known", "coil-temperature", "write/meter", "wait"}

func movementDropCommand() *command {
	return &command{
		name: "movement drop", most: 0,
		does: "full scale and coil of a movement from the voltage across it",
		more: `Battery, a large series resistor, ammeter and movement in series, a voltmeter of some
megohms across the movement. Come down with the resistor until the pointer stands at the last
mark (or at --reads of so many --divisions), and read both. Without readings, --battery and
--full-scale (what is printed on the scale) tell the resistor to start from.`,
		example: `shuntwright movement drop --current 1.000mA --drop 98.6mV --battery 1.5V
  a movement of 1 mA and 98.6 ohm, and what the battery would do to it alone`,
		flags: append([]string{"current/movement", "drop/movement", "current-percent"}, movementFlags...),
		run:   func(c *call) (report.Document, error) { return c.findMovement(c.dropFinding) },
	}
}

func movementHalfCommand() *command {
	return &command{
		name: "movement half", most: 0,
		does: "the coil of a movement from the shunt that halves its reading",
		more: `A battery through --series, at least ten times the coil, sets the pointer to full scale; then a
resistor across the movement is made so large that it stands at half, and that --shunt is
measured. Another pair of readings does as well: --reads 48.0,23.5. With --battery, read
under load, full scale comes out too.`,
		example: `shuntwright movement half --series 1402ohm --shunt 92.1ohm --battery 1.502V
  the coil, and the full-scale current`,
		flags: append([]string{"series/movement", "shunt/movement"}, movementFlags...),
		run:   func(c *call) (report.Document, error) { return c.findMovement(c.halfFinding) },
	}
}

func movementCompareCommand() *command {
	return &command{
		name: "movement compare", most: 0,
		does: "the coil of a movement from two series resistors on one battery",
		more: `One voltage through one series resistor and then another: no shunt, and nothing to adjust.
Behind resistors much larger than the coil the pointer hardly tells it, so take a voltage of a
few times the movement's own drop.`,
		example: `shuntwright movement compare --series 1.00k,4.00k \
  --reads 49.8,25.5 --divisions 50
  the coil from what the pointer showed behind 1.00 and behind 4.00 kilohms`,
		flags: append([]string{"series/movement"}, movementFlags...),
		run:   func(c *call) (report.Document, error) { return c.findMovement(c.compareFinding) },
	}
}

// findMovement answers the commands that measure a movement: how to start where
// nothing is measured yet, else what was found.
func (c *call) findMovement(find func() (movement.Finding, []string, error)) (report.Document, error) {
	o := &c.options
	if err := c.checkMovement(); err != nil {
		return report.Document{}, err
	}
	if !c.measuredMovement() {
		if o.battery.value.Text == "" || o.knownFullScale.value.Text == "" || o.write != "" {
			return report.Document{}, misused("no reading is given; say what was read, as in the example, or --battery 1.5V --full-scale 1mA for the resistor to start from")
		}
		nothing := movement.Exactly(math.NaN())
		doc := movement.Finding{Coil: nothing, FullScale: movement.Exactly(o.knownFullScale.value.Base), Shortcut: math.NaN()}.Document(o.battery.value, nil, "")
		doc.Next = "shuntwright " + c.command.name + " --help"
		return doc, nil
	}
	f, assumed, err := find()
	if err != nil {
		return report.Document{}, err
	}
	if o.knownFullScale.value.Text != "" {
		f.FullScale = movement.Exactly(o.knownFullScale.value.Base)
	}
	if v := f.Coil.Value * f.FullScale.Value; v < leastDrop || v > mostDrop {
		return report.Document{}, misused("a coil of %s would drop %s at full scale, which no moving coil does: tens to hundreds of millivolts; is the prefix of every reading right?",
			quantity.Format(f.Coil.Value, quantity.Ohm, 3), quantity.Format(v, quantity.Volt, 3))
	}
	doc := f.Document(o.battery.value, append(assumed, o.coilAt()...), o.write)
	if o.write != "" {
		said, err := c.writeMovement(f)
		if err != nil {
			return report.Document{}, err
		}
		doc.BottomLine = append([]string{said}, doc.BottomLine...)
		doc.Next = "shuntwright targets " + report.InShell(o.write)
	} else if call := c.newMeterCall(f); call != "" {
		doc.Next = call
		doc.Closing = append(doc.Closing, "limits in the call are half-widths of rectangles; those above are of 95 %")
	} else {
		doc.Next = "shuntwright help movement" // the other figure is still missing
	}
	return doc, nil
}

// No moving coil drops less, or more, at full scale, in volts (common practice:
// tens to hundreds of millivolts).
const leastDrop, mostDrop = 0.001, 5

// measuredMovement tells whether any reading was given.
func (c *call) measuredMovement() bool {
	return slices.ContainsFunc([]string{"current", "drop", "series", "shunt", "reads"}, c.flags.Changed)
}

// checkMovement refuses what no way of measuring can be asked.
func (c *call) checkMovement() error {
	if _, err := c.marks(); err != nil {
		return err
	}
	for flag, text := range map[string]string{"full-scale": c.options.knownFullScale.value.Text, "current": c.options.current.value.Text} {
		if err := fullScaleCurrent(text); text != "" && err != nil {
			return misused("--%s: %w", flag, err)
		}
	}
	if t := c.options.coilTemperature; t != "" {
		if err := coilTemperatureText(t); err != nil {
			return misused("--coil-temperature: %w", err)
		}
	}
	return nil
}

// needs refuses a measurement of which a flag is missing.
func (c *call) needs(example string, flags ...string) error {
	for _, flag := range flags {
		if !c.flags.Changed(flag) {
			return misused("--%s is missing: shuntwright %s %s", flag, c.command.name, example)
		}
	}
	return nil
}

// dropFinding is the movement by the voltage across it.
func (c *call) dropFinding() (movement.Finding, []string, error) {
	o := &c.options
	if err := c.needs("--current 1.000mA --drop 98.6mV", "current", "drop"); err != nil {
		return movement.Finding{}, nil, err
	}
	p, assumed, err := c.pointer(1)
	if err != nil {
		return movement.Finding{}, nil, err
	}
	volts, amperes := c.voltmeter(o.drop.value), budget.Input{Name: "reading the ammeter", Value: o.current.value.Base, GainPercent: float64(o.currentPercent), Floor: o.current.value.Step}
	if !c.metersDescribed() {
		f, err := movement.Drop(volts, amperes, p)
		return f, append(assumed, c.trustedMeters("drop-percent", "current-percent")...), err
	}
	by, err := c.dropInstrument()
	if err != nil {
		return movement.Finding{}, nil, err
	}
	in, err := c.readInstruments()
	if err != nil {
		return movement.Finding{}, nil, err
	}
	if _, err := in.Measure(asbuilt.Unlisted(o.current.value, o.instrument)); err != nil { // it is not known
		return movement.Finding{}, nil, misused("--instrument: %w", err)
	}
	// The two meters are described as one: its gain is that of their quotient.
	volts.GainPercent, volts.Floor = 0, by.Counts*volts.Floor+by.FloorOhms*amperes.Value
	amperes.GainPercent, amperes.Floor, amperes.Shared = by.GainPercent, by.Counts*amperes.Floor, o.instrument
	f, err := movement.Drop(volts, amperes, p)
	return f, assumed, err
}

// voltmeter is a voltage that was read.
func (c *call) voltmeter(v quantity.Value) budget.Input {
	return budget.Input{Name: "reading the voltmeter", Value: v.Base, GainPercent: float64(c.options.dropPercent), Floor: v.Step}
}

// halfFinding is the movement by the shunt that halves its reading.
func (c *call) halfFinding() (movement.Finding, []string, error) {
	if err := c.needs("--series 1402ohm --shunt 92.1ohm", "series", "shunt"); err != nil {
		return movement.Finding{}, nil, err
	}
	p, assumed, err := c.pointer(2)
	if err != nil {
		return movement.Finding{}, nil, err
	}
	resistors, more, err := c.resistors(c.options.movementSeries, "--series", c.options.movementShunt, "--shunt")
	if err != nil {
		return movement.Finding{}, nil, err
	}
	battery, about := c.battery()
	f, err := movement.Half(resistors[0], resistors[1], p, battery)
	return f, append(append(assumed, more...), about...), err
}

// compareFinding is the movement by two series resistors.
func (c *call) compareFinding() (movement.Finding, []string, error) {
	if err := c.needs("--series 28.0k,56.1k --reads 49.8,25.9", "series", "reads"); err != nil {
		return movement.Finding{}, nil, err
	}
	p, assumed, err := c.pointer(2)
	if err != nil {
		return movement.Finding{}, nil, err
	}
	first, second, two := strings.Cut(c.options.movementSeries, ",")
	if !two {
		return movement.Finding{}, nil, misused("--series %q: two series resistors belong here, such as 28.0k,56.1k", c.options.movementSeries)
	}
	resistors, more, err := c.resistors(first, "--series", second, "--series")
	if err != nil {
		return movement.Finding{}, nil, err
	}
	battery, about := c.battery()
	f, err := movement.Compare(resistors, p, battery)
	return f, append(append(assumed, more...), about...), err
}

// resistors are the two of a measurement, by the instrument that measured them.
func (c *call) resistors(first, firstFlag, second, secondFlag string) (out [2]budget.Input, assumed []string, err error) {
	in, err := c.readInstruments()
	if err != nil {
		return out, nil, err
	}
	var used []inventory.Measured
	for i, one := range [2][2]string{{first, firstFlag}, {second, secondFlag}} {
		v, err := quantity.Parse(one[0], quantity.Ohm, quantity.Positive)
		if err != nil {
			return out, nil, misused("%s: %w", one[1], err)
		}
		m, err := in.Measure(asbuilt.Unlisted(v, c.options.instrument))
		if err != nil {
			return out, nil, misused("%s %s: %w", one[1], one[0], err)
		}
		used = append(used, m)
		out[i] = movement.Resistor(m)
	}
	return out, asbuilt.Assumptions(used), nil
}

// battery is the voltage of the battery, NaN where none is given.
func (c *call) battery() (budget.Input, []string) {
	if c.options.battery.value.Text == "" {
		return budget.Input{Value: math.NaN()}, nil
	}
	return c.voltmeter(c.options.battery.value), c.trustedMeters("drop-percent")
}
