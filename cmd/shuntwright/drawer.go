package main

import (
	"fmt"
	"math"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

func drawerListCommand() *command {
	return &command{
		name: "drawer list", most: 0,
		does: "lists the parts of the drawer",
		example: `shuntwright drawer list --format markdown
  the drawer as a table to print`,
		flags: []string{"drawer", "instruments"},
		run: func(c *call) (report.Document, error) {
			b, err := c.openBench()
			if err != nil {
				return report.Document{}, err
			}
			return drawerDocument(b, drawerChange{parts: b.Parts, notes: report.Notes{Warnings: slips(b.Parts, nil, "")}},
				fmt.Sprintf("%s: %s, %d of them free", b.Drawer.Path(), report.Counted(len(b.Parts), "part"), len(b.Free(nil, asbuilt.Wanted{}))))
		},
	}
}

// drawerChange is what an answer about the drawer lists, and what it says of
// that besides.
type drawerChange struct {
	parts   []inventory.Part
	closing []string
	notes   report.Notes
}

// drawerDocument lists parts of the drawer.
func drawerDocument(b *asbuilt.Bench, of drawerChange, heading string) (report.Document, error) {
	answer := report.DrawerAnswer{Parts: []report.Part{}}
	table := report.Table{Name: "parts", Columns: []report.Column{
		{Title: "id", Key: "id"},
		{Title: "ohms", Key: "ohms", Number: true},
		{Title: "limit", Key: "limit_ohms", Number: true},
		{Title: "nominal", Key: "nominal", Number: true},
		{Title: "kind", Key: "kind", Flexible: true},
		{Title: "place", Key: "place", Flexible: true},
		{Title: "fitted", Key: "fitted", Flexible: true},
	}}
	var used []inventory.Measured
	for _, p := range of.parts {
		m, err := b.Instruments.Measure(p)
		if err != nil {
			return report.Document{}, err
		}
		used = append(used, m)
		answer.Parts = append(answer.Parts, jsonPart(b, p, m))
		table.Rows = append(table.Rows, partRow(p, m))
	}
	answer.Assumptions = append(asbuilt.Assumptions(used), of.notes.Assumptions...)
	answer.Warnings = append(of.notes.Warnings, asbuilt.Warnings(used)...)
	return report.Document{Heading: heading, Tables: []report.Table{table}, Closing: of.closing, Notes: answer.Notes, Answer: answer, Good: true}, nil
}

func partRow(p inventory.Part, m inventory.Measured) []report.Cell {
	return []report.Cell{
		report.Words(p.ID),
		report.Pair(asTyped(p), report.Exact(m.Ohms)),
		report.Pair("±"+quantity.Format(m.LimitOhms(), quantity.Ohm, 2), report.Exact(m.LimitOhms())),
		report.Words(p.Nominal.Text),
		report.Words(p.Kind), report.Words(p.Place), report.Words(p.Fitted),
	}
}

// asTyped is the reading as it stands in the file, or what is marked on a part
// that was never measured.
func asTyped(p inventory.Part) string {
	if p.Measured() {
		return p.Ohms.Text
	}
	return p.Nominal.Text + " marked"
}

// jsonPart is one part with every column that it has; ohms are what it counts
// as.
func jsonPart(b *asbuilt.Bench, p inventory.Part, m inventory.Measured) report.Part {
	out := report.Part{{Name: "id", Value: p.ID}, {Name: "ohms", Value: m.Ohms}}
	if p.Measured() {
		out = append(out, report.Field{Name: "as_typed", Value: p.Ohms.Text})
	} else {
		out = append(out, report.Field{Name: "marked", Value: true})
	}
	out = append(out, report.Field{Name: "limit_ohms", Value: m.LimitOhms()})
	for _, f := range p.Fields() {
		switch {
		case f.Column == "id" || f.Column == "ohms":
		case f.Text != "":
			out = append(out, report.Field{Name: f.Column, Value: f.Text})
		default:
			out = append(out, report.Field{Name: f.Column, Value: f.Number})
		}
	}
	if own := b.Drawer.Own(p.ID); len(own) > 0 {
		out = append(out, report.Field{Name: "other", Value: own})
	}
	return out
}

// changeDrawer opens the drawer, lets it be changed, has it written and lists
// the parts that the change was about.
func (c *call) changeDrawer(did string, change func(*inventory.Drawer) (drawerChange, error)) (report.Document, error) {
	if err := c.hold(); err != nil {
		return report.Document{}, err
	}
	drawer, err := c.openDrawer()
	if err != nil {
		return report.Document{}, err
	}
	of, err := change(drawer)
	if err != nil {
		return report.Document{}, err
	}
	b := &asbuilt.Bench{Drawer: drawer}
	if b.Instruments, err = c.readInstruments(); err != nil {
		return report.Document{}, err
	}
	doc, err := drawerDocument(b, of, fmt.Sprintf("%s: %s %d, now %s", drawer.Path(), did, len(of.parts), report.Counted(drawer.Len(), "part")))
	if err != nil {
		return report.Document{}, err
	}
	if _, err := c.measure(drawer); err != nil { // after the parts that changed: they have no place in the file yet
		return report.Document{}, err
	}
	c.save = drawer.Save
	return doc, nil
}

func drawerRemeasureCommand() *command {
	return &command{
		name: "drawer remeasure", operands: "ID VALUE", least: 2, most: 2,
		does: "replaces the reading of one part, or gives it its first",
		example: `shuntwright drawer remeasure R012 24.71
  R012 was measured again and reads 24.71 ohm`,
		flags: []string{"drawer", "instruments", "instrument", "wait"},
		run:   runDrawerRemeasure,
	}
}

// runDrawerRemeasure gives one part a new reading.
func runDrawerRemeasure(c *call) (report.Document, error) {
	reading, err := quantity.Parse(c.args[1], quantity.Ohm, quantity.Positive)
	if err != nil {
		return report.Document{}, misused("reading: %w", err)
	}
	if _, err := c.readDrawer(); err != nil {
		return report.Document{}, err
	}
	return c.changeDrawer("remeasured", func(d *inventory.Drawer) (drawerChange, error) {
		was, _, found := d.Find(c.args[0])
		if !found {
			return drawerChange{}, noSuchPart(d, c.args[0])
		}
		p := was
		p.Ohms = reading
		p.GainPercent, p.FloorOhms = math.NaN(), math.NaN() // they were the old reading's
		if c.options.instrument != "" {
			p.Instrument = c.options.instrument
		}
		of := drawerChange{parts: []inventory.Part{p}}
		of.notes = c.doubts(of.parts, &was)
		return of, d.Replace(p)
	})
}

func drawerRemoveCommand() *command {
	return &command{
		name: "drawer remove", operands: "ID…", least: 1, most: -1,
		does: "takes parts out of the drawer for good",
		example: `shuntwright drawer remove R012 R040
  forgets two parts; shuntwright undo brings them back`,
		flags: []string{"drawer", "instruments", "wait"},
		run: func(c *call) (report.Document, error) {
			if _, err := c.readDrawer(); err != nil {
				return report.Document{}, err
			}
			return c.changeDrawer("removed", func(d *inventory.Drawer) (drawerChange, error) {
				removed, err := removeAll(d, c.args)
				return drawerChange{parts: removed}, err
			})
		},
	}
}

// removeAll takes parts out; one that is fitted stays.
func removeAll(d *inventory.Drawer, ids []string) ([]inventory.Part, error) {
	var removed []inventory.Part
	for _, id := range ids {
		p, _, found := d.Find(id)
		switch {
		case !found:
			return nil, noSuchPart(d, id)
		case p.Fitted != "":
			return nil, fmt.Errorf("part %q is fitted in %q; take it out there first with shuntwright unfit", id, p.Fitted)
		}
		if err := d.Remove(id); err != nil {
			return nil, err
		}
		removed = append(removed, p)
	}
	return removed, nil
}

// noSuchPart is the error of an id that the drawer does not have.
func noSuchPart(d *inventory.Drawer, id string) error {
	return fmt.Errorf("there is no part %q in %s%s; shuntwright drawer list shows what there is", id, d.Path(), report.Meant(id, asbuilt.IDs(d.Parts())))
}
