package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/entry"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/inventory/safefile"
)

// nothingCame is the error of standard input without any line.
type nothingCame struct{ error }

// alreadySaid is an error that standard error has been told of.
type alreadySaid struct{ error }

// enterParts takes parts like another from standard input, each on disk before
// the next is read.
func (c *call) enterParts(like inventory.Part) (report.Document, error) {
	store, err := c.openStore()
	if err != nil {
		return report.Document{}, err
	}
	if err := store.instruments.Defined(like.Instrument); err != nil {
		return report.Document{}, err
	}
	s := &entry.Session{In: c.lines(), Store: store, Drawer: store.drawer.Parts(), Instruments: store.instruments, Like: like,
		Ack: c.out, Err: c.err, Who: "shuntwright " + c.command.name, Width: c.env.width()}
	table := c.options.format == "table"
	if t := c.options.table; t != "" && t != "parts" { // not when everything has been entered
		return report.Document{}, misused("no table %q in this answer: one of parts", t)
	}
	switch {
	case !table: // standard output is for the answer
		s.Ack = c.err
	case c.env.asks && !c.env.paints:
		s.Ack = io.MultiWriter(c.out, c.err)
	}
	if err := s.Run(); err != nil {
		return report.Document{}, c.broken(s, err)
	}
	switch {
	case len(s.Added) > 0:
	case s.Refused > 0:
		return report.Document{}, alreadySaid{errors.New("no line was a part")}
	case !store.changed:
		return report.Document{}, nothingCame{misused("no reading was given; say for example shuntwright drawer add 98.6")}
	}
	return c.entered(s, store, table)
}

// broken is why entering ended before standard input did. What was acknowledged
// is in the drawer.
func (c *call) broken(s *entry.Session, err error) error {
	if len(s.Added) == 0 {
		return err
	}
	return fmt.Errorf("%w; the %s up to %s are in %s", err, report.Counted(len(s.Added), "part"), s.Added[len(s.Added)-1].ID, c.drawerPath())
}

// entered is the answer when all lines are read: with a table everything has
// been said of the parts but what qualifies them.
func (c *call) entered(s *entry.Session, store *store, table bool) (report.Document, error) {
	b := &asbuilt.Bench{Drawer: store.drawer, Instruments: store.instruments}
	of := drawerChange{parts: s.Added}
	if !table { // else they have been told
		of.notes.Warnings = s.Slips
	}
	heading := fmt.Sprintf("%s: added %d, now %s", c.drawerPath(), len(s.Added), report.Counted(store.drawer.Len(), "part"))
	if s.Refused > 0 {
		heading += fmt.Sprintf("; %s left out: no part", report.Counted(s.Refused, "line"))
	}
	doc, err := drawerDocument(b, of, heading)
	doc.Notes.Assumptions = append(doc.Notes.Assumptions, c.bandDoubts()...)
	if len(s.Added) >= manyUnrated {
		doc.Notes.Warnings = append(doc.Notes.Warnings, unrated(s.Added, "drawer change ID… ", "")...)
	}
	doc.Aside = !c.env.asks
	if table && c.options.table == "" {
		doc.Tables = nil
	}
	doc.Good = s.Refused == 0
	return doc, err
}

// manyUnrated is how many parts of which no rating is said are worth a word.
const manyUnrated = 10

// store is the drawer as parts are entered into it: after every change the file
// holds what it holds.
type store struct {
	c           *call
	journal     *safefile.Journal
	drawer      *inventory.Drawer
	instruments inventory.Instruments
	changed     bool
}

// openStore opens the drawer of the call, all parts of which must be sound.
func (c *call) openStore() (*store, error) {
	s := &store{c: c}
	var err error
	if s.drawer, err = c.openToAdd(); err != nil {
		return nil, err
	}
	for _, warning := range c.drawerGone() {
		fmt.Fprintf(c.err, "warning: %s\n", warning)
	}
	b, err := c.measure(s.drawer)
	if err != nil {
		return nil, err
	}
	s.instruments = b.Instruments
	s.journal, err = c.journal()
	return s, err
}

// Add adds a part to the file.
func (s *store) Add(p inventory.Part) (added inventory.Part, err error) {
	trial := p
	trial.ID = cmp.Or(p.ID, "it") // the drawer names it
	if _, err := s.instruments.Measure(trial); err != nil {
		return p, err
	}
	err = s.change(func(d *inventory.Drawer) error {
		added, err = d.Add(p)
		return err
	})
	return added, err
}

// Remove takes a part out of the file.
func (s *store) Remove(id string) error {
	return s.change(func(d *inventory.Drawer) error { _, err := removeAll(d, []string{id}); return err })
}

// Has tells whether the drawer has a part, as it was at the last change.
func (s *store) Has(id string) bool { _, _, found := s.drawer.Find(id); return found }

// change changes the drawer and its file, as it is by then, or neither. Only
// what do refuses is no entry.Failure.
func (s *store) change(do func(*inventory.Drawer) error) error {
	in, err := s.journal.Begin(s.c.ctx, s.c.drawerPath())
	if err != nil {
		return entry.Fail(err)
	}
	defer in.End()
	fresh, err := s.drawer.Fresh()
	if err != nil {
		return entry.Fail(err)
	}
	s.drawer = fresh
	if err := do(s.drawer); err != nil {
		return err
	}
	if err = s.drawer.Save(in); err == nil {
		err = in.Commit()
	}
	if err == nil {
		s.changed = true
		return nil
	}
	if again, wrong := s.c.openToAdd(); wrong == nil { // without what could not be saved
		s.drawer = again
	}
	return entry.Fail(err)
}
