package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"time"

	"shuntwright/cmd/shuntwright/internal/entry"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
)

func drawerRemeasureCommand() *command {
	return &command{
		name: "drawer remeasure", operands: "ID [VALUE]", least: 1, most: 2,
		does: "gives one part a new reading, or its first, and keeps the old one",
		more: `Without VALUE it is asked for. What the part read before stays in the column earlier,
with its instrument and its day, and the answer says how far it has drifted since. More
than ten times apart one of the two is a slip, not drift: the old one is forgotten then.`,
		example: `shuntwright drawer remeasure R012 24.71
  R012 was measured again today and reads 24.71 ohm`,
		flags: []string{"drawer", "instruments", "instrument", "date/reading", "note", "wait"},
		run:   runDrawerRemeasure,
	}
}

// runDrawerRemeasure gives one part a new reading.
func runDrawerRemeasure(c *call) (report.Document, error) {
	day := cmp.Or(c.options.date, time.Now().Format(time.DateOnly))
	if err := checkDate(day); err != nil {
		return report.Document{}, err
	}
	drawer, err := c.readDrawer()
	if err == nil && len(c.args) < 2 {
		err = c.askReading(drawer)
	}
	if err != nil {
		return report.Document{}, err
	}
	var fitted string
	spoilt := false // it goes on drifting, and is fitted nowhere
	doc, err := c.changeDrawer("remeasured", func(d *inventory.Drawer) (drawerChange, error) {
		was, _, found := d.Find(c.args[0])
		if !found {
			return drawerChange{}, noSuchPart(d, c.args[0])
		}
		reading, err := entry.Reading(was, c.args[1], d)
		if err != nil {
			return drawerChange{}, misused("reading: %w", err)
		}
		p := was.Remeasured(reading, day)
		if c.options.instrument != "" {
			p.Instrument = c.options.instrument
		}
		if c.flags.Changed("note") {
			p.Note = c.options.note
		}
		of := drawerChange{parts: []inventory.Part{p}, notes: c.doubts([]inventory.Part{p}, &was)}
		if was.Measured() && !inventory.FarApart(was.Ohms.Base, p.Ohms.Base) {
			of.said = []string{since(was, p)}
		}
		if spoilt = p.Unsteady(p.Ohms.Base) != ""; spoilt {
			of.said = append(of.said, "carbon that has drifted so far goes on: replace it rather than trim it")
		}
		fitted = p.Fitted
		return of, d.Replace(p)
	})
	switch {
	case doc.Next != "" || err != nil:
	case fitted != "":
		doc.Next = c.readsNow(fitted)
	case spoilt:
		doc.Next = "shuntwright drawer remove " + report.InShell(c.args[0])
	}
	return doc, err
}

// askReading asks what a part reads, until it is a resistance.
func (c *call) askReading(d *inventory.Drawer) error {
	p, _, found := d.Find(c.args[0])
	if !found {
		return noSuchPart(d, c.args[0])
	}
	in := c.lines()
	for {
		line, err := in.Next(fmt.Sprintf("%s, which was %s, reads: ", p.ID, asTyped(p)))
		if errors.Is(err, io.EOF) || err == nil && line == "" {
			return misused("VALUE is missing: shuntwright drawer remeasure %s 24.71; nothing is written", p.ID)
		}
		if err == nil {
			_, err = entry.Reading(p, line, d)
		}
		if err == nil {
			c.args, c.typed = append(c.args, line), append(c.typed, line)
			return nil
		}
		if !c.env.asks {
			return misused("reading: %w", err)
		}
		in.Say("  " + report.Wrap(err.Error(), c.env.width()-2) + "\n")
	}
}

// since says how far a part has drifted between two readings, as they stand: what
// its leads add is the same in both.
func since(was, now inventory.Part) string {
	before := was.Ohms.Text
	if was.Instrument != "" && was.Instrument != now.Instrument {
		before += " by " + was.Instrument
	}
	if was.Date != "" {
		before += " on " + was.Date
	}
	return fmt.Sprintf("%s read %s before: %+.1f %% since", now.ID, before, 100*(now.Ohms.Base/was.Ohms.Base-1))
}
