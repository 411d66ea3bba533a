package main

import (
	"math"

	"shuntwright/cmd/shuntwright/internal/movement"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
)

// movementFlags are those that every way of measuring a movement takes.
var movementFlags = []string{"reads", "divisions", "instrument", "instruments", "drop-percent", "battery", "full-scale/known", "write/meter", "wait"}

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
		doc, _ := movement.Finding{Coil: nothing, FullScale: movement.Exactly(o.knownFullScale.value.Base), Shortcut: math.NaN()}.Document(o.battery.value)
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
	doc, answer := f.Document(o.battery.value)
	answer.Assumptions = assumed
	if o.write != "" {
		said, err := c.writeMovement(f)
		if err != nil {
			return report.Document{}, err
		}
		answer.Written = o.write
		doc.BottomLine = append([]string{said}, doc.BottomLine...)
		doc.Next = "shuntwright targets " + report.InShell(o.write)
	} else if call := c.newMeterCall(f); call != "" {
		doc.Next = call
		doc.Closing = append(doc.Closing, "limits in the call are half-widths of rectangles; those above are of 95 %")
	} else {
		doc.Next = "shuntwright help movement" // the other figure is still missing
	}
	doc.Notes = answer.Notes
	return doc, nil
}

// measuredMovement tells whether any reading was given.
func (c *call) measuredMovement() bool {
	for _, flag := range []string{"current", "drop", "series", "shunt", "reads"} {
		if c.flags.Changed(flag) {
			return true
		}
	}
	return false
}

// checkMovement refuses what no way of measuring can be asked.
func (c *call) checkMovement() error {
	if err := optional("divisions", c.options.divisions, quantity.Division, quantity.Positive, nil); err != nil {
		return err
	}
	if current := c.options.knownFullScale.value.Text; current != "" {
		if err := fullScaleCurrent(current); err != nil {
			return misused("--full-scale: %w", err)
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
