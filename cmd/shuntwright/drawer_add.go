package main

import (
	"errors"
	"math"

	"shuntwright/cmd/shuntwright/internal/entry"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

func drawerAddCommand() *command {
	return &command{
		name: "drawer add", operands: "[VALUE…]", most: -1,
		does: "adds parts to the drawer, measured or as they are marked",
		more: `Every VALUE is one part as the ohmmeter showed it: 98.6, 4.7k, 4k7, "50 mΩ"; its
last digit tells the resolution. Words behind it are what else is known of that part:
"11.3 carbon 0.5W tin C". The flags hold for all parts of one call.

With no VALUE, or -, parts are read one a line from standard input, and each is on
disk before the next is asked for. On a terminal the answer is the id to write on the
envelope, how far the part is off its marking, or off the nearest preferred value
(IEC 60063). What looks like a slip is asked about: several times off the marking, a
prefix that none of the last twenty had, or of the last three where it is far from all
of them, the same reading twice running. There u takes
the last part back, ? tells what else a line can say. From a pipe every part is
acknowledged with its id and reading; lines that begin with # are passed over, and a
line that is no part is told on standard error and left out: the exit code is 1 then,
or 2 where no line was a part.

Below a few ohms two test leads spoil every reading: send a known current through the
part and take it by the voltage across it, with --drop and --current in place of a
VALUE; describe the two meters as one instrument of four wires and name it with
--instrument, or the reading shares its gain error with all that have no named
instrument. With --nominal and --tolerance or --bands, no VALUE and nothing on standard input the
part is taken as marked, unmeasured: its tolerance is its limit until drawer remeasure
gives it a reading.

Resistance wire is one VALUE in ohms per metre with --metres, or --wire, --diameter and
--metres: what no part reaches is wound from it.`,
		example: `shuntwright drawer add 10.91 24.7 --kind "metal film" --place "tray 3"
  adds two parts that were measured at 10.91 and 24.7 ohm`,
		flags: []string{"drawer", "instruments", "nominal", "tolerance", "bands", "watts", "volts/part", "tempco", "kind", "place", "note", "instrument", "date/part", "id",
			"drop", "current/part", "drop-percent", "current-percent", "wire", "diameter", "metres", "amperes", "wait"},
		run: runDrawerAdd,
	}
}

// runDrawerAdd adds the parts of the call, all of them or none, or those of
// standard input, one after the other.
func runDrawerAdd(c *call) (report.Document, error) {
	like, err := c.partLike()
	if err != nil {
		return report.Document{}, err
	}
	if c.addsSpool() {
		return runAddSpool(c, like)
	}
	switch {
	case c.flags.Changed("drop") || c.flags.Changed("current"):
		reading, err := c.dropReading(&like)
		if err != nil {
			return report.Document{}, err
		}
		like.Ohms = reading
		return c.addAll(append(c.dropAssumptions(), c.bandDoubts()...), func(*inventory.Drawer) ([]inventory.Part, error) { return []inventory.Part{like}, nil })
	case len(c.args) == 0 && c.marked() && c.env.asks:
		return c.addMarked(like)
	case len(c.args) == 0 || len(c.args) == 1 && c.args[0] == "-":
		doc, err := c.enterParts(like)
		if none := (nothingCame{}); len(c.args) == 0 && c.marked() && errors.As(err, &none) {
			return c.addMarked(like)
		}
		return doc, err
	case c.options.id != "" && len(c.args) > 1:
		return report.Document{}, misused("--id %q names one part, and there are %d values; leave it out or add one at a time", c.options.id, len(c.args))
	}
	return c.addAll(c.bandDoubts(), func(d *inventory.Drawer) (parts []inventory.Part, err error) {
		for _, arg := range c.args {
			p, err := entry.Part(like, arg, d)
			if err != nil {
				return nil, misused("reading: %w", err)
			}
			parts = append(parts, p)
		}
		return parts, nil
	})
}

// addAll adds parts together.
func (c *call) addAll(assumed []string, parts func(*inventory.Drawer) ([]inventory.Part, error)) (report.Document, error) {
	return c.changeDrawer("added", func(d *inventory.Drawer) (drawerChange, error) {
		all, err := parts(d)
		if err != nil {
			return drawerChange{}, err
		}
		before := d.Parts()
		added, err := d.AddAll(all)
		of := drawerChange{parts: added, notes: c.doubts(added, nil)}
		of.notes.Warnings = append(of.notes.Warnings, addedTwice(before, added)...)
		of.notes.Assumptions = assumed
		return of, err
	})
}

// addMarked adds a part that nobody has measured.
func (c *call) addMarked(p inventory.Part) (report.Document, error) {
	if err := unmeasured(p); err != nil {
		return report.Document{}, err
	}
	return c.addAll(c.bandDoubts(), func(*inventory.Drawer) ([]inventory.Part, error) { return []inventory.Part{p}, nil })
}

// unmeasured refuses a part without a reading whose marking does not tell how
// far it can be trusted, or that somebody is said to have measured.
func unmeasured(p inventory.Part) error {
	switch {
	case math.IsNaN(p.TolerancePercent):
		return misused("--nominal %s without a reading needs its --tolerance in percent; the marking gives it behind the value (IEC 60062: F is 1, G 2, J 5, K 10, M 20; gold ring 5, silver 10, none 20), or measure the part and give its VALUE", p.Nominal.Text)
	case p.Instrument != "":
		return misused("--instrument %q names what measured the part, and there is no VALUE that it read", p.Instrument)
	}
	return nil
}

// together refuses flags that say something of what no other flag gives.
func (c *call) together() error {
	for _, one := range []struct{ flag, of, example string }{
		{"drop-percent", "drop", "--drop 0.1023V --current 0.500A --drop-percent 0.1"},
		{"current-percent", "current", "--drop 0.1023V --current 0.500A --current-percent 0.2"},
	} {
		if c.flags.Changed(one.flag) && !c.flags.Changed(one.of) {
			return misused("--%s says how far --%s can be trusted, which is not given; write such as %s", one.flag, one.of, one.example)
		}
	}
	return nil
}

type partColumn struct{ flag, column string }

// partColumns are the flags that say what is known of a part, and the columns
// of the drawer that they fill.
var partColumns = []partColumn{
	{"id", "id"}, {"nominal", "nominal"}, {"tolerance", "tolerance_percent"}, {"watts", "watts"}, {"volts", "volts"},
	{"tempco", "tempco_ppm"}, {"kind", "kind"}, {"place", "place"}, {"note", "note"}, {"instrument", "instrument"}, {"date", "date"}, {"metres", "metres"}, {"amperes", "amperes"},
}

// partLike is a part with what the flags say of all parts of the call.
func (c *call) partLike() (inventory.Part, error) {
	p := inventory.NewPart(quantity.Value{})
	if err := c.together(); err != nil {
		return p, err
	}
	if c.flags.Changed("bands") {
		if c.flags.Changed("nominal") {
			return p, misused("--bands and --nominal are both the marking; leave one out")
		}
		marking, err := quantity.ParseBands(c.options.bands)
		if err != nil {
			return p, misused("--%w", err)
		}
		entry.Mark(&p, marking)
	}
	if err := checkDate(c.options.date); err != nil {
		return p, err
	}
	return p, c.fromFlags(p.Set)
}

// fromFlags sets the columns of which the flags say something.
func (c *call) fromFlags(set func(column, text string) error) error {
	for _, of := range partColumns {
		if f := c.flags.Lookup(of.flag); f != nil && f.Changed {
			if err := set(of.column, f.Value.String()); err != nil {
				return misused("--%s: %w", of.flag, err)
			}
		}
	}
	return nil
}

// marked tells whether the flags say what stands on the part.
func (c *call) marked() bool { return c.flags.Changed("nominal") || c.flags.Changed("bands") }

// bandDoubts are what bands can mean besides, where a flag does not settle it.
func (c *call) bandDoubts() []string {
	marking, err := quantity.ParseBands(c.options.bands)
	if err != nil || c.flags.Changed("tolerance") {
		return nil
	}
	return marking.Doubts
}
