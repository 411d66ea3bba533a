// Package meterfile reads, writes and edits the text of a meter file: the
// movement, its circuits, and the network that each position is filled with. It
// takes bytes and gives bytes; where they are kept is its callers' business.
package meterfile

import (
	"errors"
	"fmt"
	"math"
	"path"
	"strings"

	"shuntwright/meter"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// File is what a meter file says.
type File struct {
	Meter     *meter.Meter
	FullScale quantity.Value // of the movement, as typed
	Coil      quantity.Value // of the movement, as typed: its last digit tells the resolution
	Fitted    []Fitted       // by Meter.Positions
	Stated    []Stated       // in the order of Meter.Resistors; those of zero ohms are not there

	RangePlaces []Place // of the ranges' texts, by Meter.Ranges
	CoilPlace   Place   // of the name of what measured the coil, else of the coil

	slots []slot // by Meter.Positions
}

// Place is a line and a column of the file, in runes; both start with 1.
type Place struct{ Line, Column int }

func (p Place) String() string { return fmt.Sprintf("%d:%d", p.Line, p.Column) }

// Error is one thing wrong with a meter file, and where.
type Error struct {
	File string
	Place
	What, Hint string
}

// Error returns one line: file:line:column: what; hint.
func (e *Error) Error() string { return fmt.Sprintf("%s:%v: %s; %s", e.File, e.Place, e.What, e.Hint) }

// Fitted is what the file says is in a position.
type Fitted struct {
	Present bool           // false: the position is open, and Network is nothing
	Network wiring.Network // as parsed
	Text    string         // as typed
	Place                  // of the text; of the circuit where the position is open
}

// slot is where a position's network stands or would stand.
type slot struct {
	circuit *node
	key     string // empty: directly under "fitted"
	text    *node  // nil: open
}

// MostClass is the largest accuracy class that is taken, in percent of full
// scale: IEC 60051 has classes up to 5, and what is further off than a fifth of
// full scale shows nothing (common practice).
const MostClass = 20

// Parse reads a meter file; name is what errors call it. Unknown fields, wrong
// types, fields that stand twice or are missing, bad quantities and networks,
// two ranges of one name, and a part that fills two positions are refused; the
// error is an *Error. A meter without a name is called what the file is called.
// A range that the movement cannot serve is not refused here.
func Parse(name string, data []byte) (*File, error) {
	d := &reader{name: name, data: data}
	f := d.file()
	if d.err != nil {
		return nil, d.err
	}
	return f, nil
}

// file reads the whole; the result is of use only where d.err is nil.
func (d *reader) file() *File {
	root := d.tree()
	if d.err != nil {
		return nil
	}
	top := d.object(root, "a meter file", "name", "movement", "class", "circuits")
	name := d.str(top.get("name"), "name", "bench meter")
	if name == "" {
		name = strings.TrimSuffix(path.Base(strings.ReplaceAll(d.name, `\`, "/")), ".json")
	}
	class := top.number("class", func(x float64) bool { return positive(x) && x <= MostClass }, fmt.Sprintf("more than 0 and at most %d, in percent", MostClass))
	f := &File{}
	mv := d.movement(f, top.need("movement", `{"full_scale": "1 mA", "coil": "98.6 ohm"}`))
	circuits := d.circuits(f, top.need("circuits", `[{"circuit": "direct", "range": "1 mA"}]`))
	if d.err != nil {
		return nil
	}
	m, err := meter.New(name, mv, class, circuits)
	var noRing *meter.NoRing
	if errors.As(err, &noRing) {
		d.fail(top.get("circuits").members[noRing.Circuit].value.get("with_ring").from, noRing.Way, "%q: %s", "with_ring", noRing.What)
	} else if err != nil {
		d.fail(root.from, "see `meter new`", "%v", err)
	}
	f.Meter = m
	d.partsOnce(f)
	if d.err == nil {
		f.stand(d.said)
	}
	return f
}

// movementFields are the fields of the movement, in the order in which a new file has
// them.
var movementFields = []string{"full_scale", "full_scale_limit_percent", "coil", "coil_gain_percent", "coil_floor", "instrument",
	"swamp", "swamp_limit_percent", "swamp_instrument", "divisions", "reference_celsius"}

// movement reads the movement into f and returns it.
func (d *reader) movement(f *File, n *node) meter.Movement {
	if d.err != nil {
		return meter.Movement{}
	}
	o := d.object(n, "the movement", movementFields...)
	f.FullScale = d.quantity(o.need("full_scale", `"1 mA"`), "full_scale", quantity.Ampere, quantity.Positive)
	f.Coil = d.quantity(o.need("coil", `"98.6 ohm"`), "coil", quantity.Ohm, quantity.Positive)
	mv := meter.NewMovement(f.FullScale.Base, f.Coil.Base)
	mv.FullScaleLimitPercent = o.number("full_scale_limit_percent", notNegative, "zero or more, in percent")
	mv.CoilGainPercent = o.number("coil_gain_percent", notNegative, "zero or more, in percent")
	if floor := o.get("coil_floor"); floor != nil {
		mv.CoilFloorOhms = d.quantity(floor, "coil_floor", quantity.Ohm, quantity.NotNegative).Base
	}
	by := o.get("instrument")
	mv.Instrument = d.str(by, "instrument", "hand meter")
	if by == nil {
		by = o.get("coil")
	}
	if by != nil {
		f.CoilPlace = d.place(by.from)
	}
	swamp := o.stated("swamp", quantity.Ohm, quantity.NotNegative)
	mv.SwampOhms, d.said = swamp.Value.Base, []map[string]Stated{{"swamp": swamp}}
	mv.Divisions = o.number("divisions", positive, "more than 0")
	if t := o.number("reference_celsius", func(x float64) bool { return x > -273.15 && x < 1000 }, "a temperature in °C"); !math.IsNaN(t) {
		mv.ReferenceCelsius = t
	}
	return mv
}

// partsOnce refuses a part that fills two positions.
func (d *reader) partsOnce(f *File) {
	at := map[string]int{}
	for i, fit := range f.Fitted {
		if !fit.Present {
			continue
		}
		for _, id := range fit.Network.IDs() {
			if first, twice := at[id]; twice {
				there := f.Fitted[first]
				d.fail(f.slots[i].text.from, "a part is in one place; take it out of one of them", "part %q is in %q, and at %v in %q already", id,
					f.Meter.Positions()[i].Name, there.Place, f.Meter.Positions()[first].Name)
			}
			at[id] = i
		}
	}
}
