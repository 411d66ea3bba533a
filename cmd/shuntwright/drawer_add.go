package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

func drawerAddCommand() *command {
	return &command{
		name: "drawer add", operands: "[VALUE…]", most: -1,
		does: "adds parts to the drawer, measured or as they are marked",
		more: `Every VALUE is one part as the ohmmeter showed it: 98.6, 4.7k, 4k7, "50 mΩ"; its
last digit tells the resolution. With no VALUE, or -, they are read one a line from
standard input. The flags hold for all parts of one call. Below a few ohms two
test leads spoil every reading: send a known current through the part and take it
by the voltage across it, with --drop and --current in place of a VALUE; describe
the two meters as one instrument of four wires and name it with --instrument, or
the reading shares its gain error with all that have no named instrument. With
--nominal and --tolerance, no VALUE and nothing on standard input the part is taken
as marked, unmeasured: its tolerance is its limit until drawer remeasure gives it
a reading.`,
		example: `shuntwright drawer add 10.91 24.7 --kind "metal film" --place "tray 3"
  adds two parts that were measured at 10.91 and 24.7 ohm`,
		flags: []string{"drawer", "instruments", "nominal", "tolerance", "watts", "part-volts", "kind", "place", "note", "instrument", "id",
			"drop", "drop-current", "drop-percent", "current-percent", "wait"},
		run: runDrawerAdd,
	}
}

// runDrawerAdd adds parts: all of them or none.
func runDrawerAdd(c *call) (report.Document, error) {
	like, err := c.partLike()
	if err != nil {
		return report.Document{}, err
	}
	var readings []quantity.Value
	var assumed []string
	switch {
	case c.flags.Changed("drop") || c.flags.Changed("current"):
		readings, err = c.dropReading(&like)
		assumed = c.dropAssumptions()
	case len(c.args) == 0 && c.flags.Changed("nominal"):
		readings, err = c.readingsOrNone(like)
	default:
		readings, err = c.readings()
	}
	if err != nil {
		return report.Document{}, err
	}
	if c.options.id != "" && len(readings) > 1 {
		return report.Document{}, misused("--id %q names one part, and there are %d values; leave it out or add one at a time", c.options.id, len(readings))
	}
	return c.changeDrawer("added", func(d *inventory.Drawer) (drawerChange, error) {
		var parts []inventory.Part
		for _, reading := range readings {
			p := like
			p.Ohms = reading
			parts = append(parts, p)
		}
		added, err := d.AddAll(parts)
		of := drawerChange{parts: added, notes: c.doubts(added, nil)}
		of.notes.Assumptions = assumed
		return of, err
	})
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

// partColumns are the flags that say what is known of a part, and the columns
// of the drawer that they fill.
var partColumns = []struct{ flag, column string }{
	{"id", "id"}, {"nominal", "nominal"}, {"tolerance", "tolerance_percent"}, {"watts", "watts"}, {"volts", "volts"},
	{"kind", "kind"}, {"place", "place"}, {"note", "note"}, {"instrument", "instrument"},
}

// partLike is a part with what the flags say of all parts of the call.
func (c *call) partLike() (inventory.Part, error) {
	p := inventory.NewPart(quantity.Value{})
	if err := c.together(); err != nil {
		return p, err
	}
	for _, of := range partColumns {
		if f := c.flags.Lookup(of.flag); f != nil && f.Changed {
			if err := p.Set(of.column, f.Value.String()); err != nil {
				return p, misused("--%s: %w", of.flag, err)
			}
		}
	}
	return p, nil
}

// readings are the values of the call, or of standard input.
func (c *call) readings() ([]quantity.Value, error) {
	if len(c.args) == 0 || len(c.args) == 1 && c.args[0] == "-" {
		out, err := c.typedReadings()
		if err == nil && len(out) == 0 {
			err = misused("no reading was given; say for example shuntwright drawer add 98.6")
		}
		return out, err
	}
	var out []quantity.Value
	for _, arg := range c.args {
		v, err := quantity.Parse(arg, quantity.Ohm, quantity.Positive)
		if err != nil {
			return nil, misused("reading: %w", err)
		}
		out = append(out, v)
	}
	return out, nil
}

// typedReadings reads one value a line. A person is asked, and asked again
// after a slip; from a pipe a line that cannot be read ends the command.
func (c *call) typedReadings() ([]quantity.Value, error) {
	var out []quantity.Value
	lines := bufio.NewReader(io.LimitReader(c.in, 64<<20))
	for n := 1; ; n++ {
		if c.env.asks {
			fmt.Fprintf(c.err, "reading %d (empty line ends): ", len(out)+1)
		}
		text, err := lines.ReadString('\n')
		if err != nil && !errors.Is(err, io.EOF) {
			return nil, fmt.Errorf("reading standard input: %w", err)
		}
		last := err != nil
		text = strings.TrimSpace(text)
		if text == "" && (last || c.env.asks) {
			return out, nil
		}
		if text != "" {
			v, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
			switch {
			case err == nil:
				out = append(out, v)
			case c.env.asks:
				fmt.Fprintf(c.err, "  %v\n", err)
			default:
				return nil, fmt.Errorf("standard input:%d:1: %w", n, err)
			}
		}
		if last {
			return out, nil
		}
	}
}

// readingsOrNone are the readings of standard input for parts whose marking is
// given; where nothing comes from there, and on a terminal, one empty reading:
// the part is taken as marked.
func (c *call) readingsOrNone(like inventory.Part) ([]quantity.Value, error) {
	if !c.env.asks {
		if out, err := c.typedReadings(); err != nil || len(out) > 0 {
			return out, err
		}
	}
	return []quantity.Value{{}}, unmeasured(like)
}
