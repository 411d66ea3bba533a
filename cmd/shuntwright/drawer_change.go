package main

import (
	"fmt"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/inventory/safefile"
)

func drawerChangeCommand() *command {
	return &command{
		name: "drawer change", operands: "ID…", most: -1,
		does: "changes what is known of parts: ratings, kind, place",
		more: `For the parts of the ids, or with --where for all that it names: kind=carbon, place="tin C",
drifted=10. An empty text takes out what is there. A new reading is drawer remeasure's.`,
		example: `shuntwright drawer change --where place="tin C" --watts 0.5 --kind carbon
  all that lie in tin C are carbon resistors of half a watt`,
		flags: []string{"where", "nominal", "tolerance", "watts", "volts/part", "tempco", "kind", "place", "note", "instrument", "date/part", "metres", "amperes", "drawer", "instruments", "wait"},
		run:   runDrawerChange,
	}
}

// runDrawerChange changes fields of one part or many.
func runDrawerChange(c *call) (report.Document, error) {
	if !slices.ContainsFunc(partColumns, func(of partColumn) bool { return c.flags.Changed(of.flag) }) {
		return report.Document{}, misused("say what is to be different: shuntwright drawer change R012 --watts 0.5 --volts 350")
	}
	if err := checkDate(c.options.date); err != nil {
		return report.Document{}, err
	}
	if _, err := c.readDrawer(); err != nil { // one that is not there is not begun
		return report.Document{}, err
	}
	next := ""
	doc, err := c.changeDrawer("changed", func(d *inventory.Drawer) (drawerChange, error) {
		parts, err := c.meantParts(d)
		if err != nil {
			return drawerChange{}, err
		}
		for i := range parts {
			if err := c.changePart(d, &parts[i]); err != nil {
				return drawerChange{}, err
			}
		}
		of := drawerChange{parts: parts, notes: c.doubts(parts, nil)}
		var beyond string
		beyond, next, err = c.beyondRatings(d, parts)
		if beyond != "" {
			of.notes.Warnings = append(of.notes.Warnings, beyond)
		}
		return of, err
	})
	if next != "" && doc.Next == "" {
		doc.Next, doc.Good = next, false
	}
	return doc, err
}

// beyondRatings says of the meters in which parts are fitted where one bears more
// than it is rated for, and the command that tells all of it.
func (c *call) beyondRatings(d *inventory.Drawer, parts []inventory.Part) (said, next string, err error) {
	for _, m := range c.metersBeside() {
		if !slices.ContainsFunc(parts, func(p inventory.Part) bool { return strings.HasPrefix(p.Fitted, m.Meter.Name+": ") }) {
			continue
		}
		b, err := c.measure(d)
		if err != nil {
			return "", "", err
		}
		s, err := asbuilt.New(b, m.path, m.File, nil, safefile.Absent)
		if err != nil {
			continue // the commands about that meter say what is wrong with it
		}
		if position := c.forecast(&setup{s}).Overloaded(); position != "" {
			return fmt.Sprintf("%s: a part bears more than it is rated for in %s", m.Meter.Name, position), "shuntwright predict " + report.InShell(m.path) + " --ratings", nil
		}
	}
	return "", "", nil
}

// meantParts are the parts that the call names.
func (c *call) meantParts(d *inventory.Drawer) ([]inventory.Part, error) {
	switch where := len(c.options.where) > 0; {
	case len(c.args) == 0 && !where:
		return nil, misused("which parts? write their ids, or --where place=\"tin C\"")
	case len(c.args) > 0 && where:
		return nil, misused("ids and --where both say which parts; leave one out (--where R012,kind=carbon takes either)")
	}
	var out []inventory.Part
	for _, id := range c.args {
		p, _, found := d.Find(id)
		if !found {
			return nil, noSuchPart(d, id)
		}
		if !slices.ContainsFunc(out, func(o inventory.Part) bool { return o.ID == id }) {
			out = append(out, p)
		}
	}
	in, err := c.readInstruments()
	if err != nil {
		return nil, err
	}
	for _, s := range c.options.where {
		if id, unknown := s.Unknown(d.Parts()); unknown {
			return nil, noSuchPart(d, id)
		}
	}
	for _, p := range d.Parts() {
		ohms := p.Ohms.Base
		if m, err := in.Measure(p); err == nil {
			ohms = m.Ohms
		}
		if len(c.options.where) > 0 && !slices.ContainsFunc(c.options.where, func(s inventory.Selection) bool { return !s.Has(p, ohms) }) {
			out = append(out, p)
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("no part of %s is meant by --where %s; shuntwright drawer list shows what there is", d.Path(), c.flags.Lookup("where").Value)
	}
	return out, nil
}

// changePart puts what the flags say into one part.
func (c *call) changePart(d *inventory.Drawer, p *inventory.Part) error {
	if err := c.fromFlags(p.Set); err != nil {
		return err
	}
	if !p.Measured() && p.Instrument != "" {
		return misused("--instrument %q names what measured a part, and nobody has measured %s; shuntwright drawer remeasure %s VALUE", p.Instrument, p.ID, p.ID)
	}
	if err := d.Replace(*p); err != nil {
		return fmt.Errorf("part %s: %w", p.ID, err)
	}
	return nil
}
