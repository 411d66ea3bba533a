package main

import (
	"fmt"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/wording"
	"shuntwright/inventory"
	"shuntwright/inventory/safefile"
	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/wiring"
)

func fitCommand() *command {
	return &command{
		name: "fit", operands: "METER [POSITION NETWORK]", least: 1, most: 3,
		does: "writes what is fitted into the meter file and the drawer",
		more: `With METER alone it takes the plan (and plan's flags, --trim too). With a position and a
network it records what is really there, a part as found too.`,
		example: `shuntwright fit bench.json "shunt 10 mA" "R003 + R041"
  records that these two parts are now the shunt of the 10 mA range`,
		flags: planFlags,
		run:   runFit,
	}
}

func unfitCommand() *command {
	return &command{
		name: "unfit", operands: "METER POSITION", least: 2, most: 2,
		does: "records that a position is open again",
		example: `shuntwright unfit bench.json "shunt 10 mA"
  takes note that the shunt is out; its parts are free again`,
		flags: []string{"drawer", "instruments"},
		run:   runUnfit,
	}
}

// runFit takes the plan, or records one network.
func runFit(c *call) (report.Document, error) {
	switch len(c.args) {
	case 1:
		return c.fitPlan()
	case 2:
		return report.Document{}, misused("NETWORK is missing: shuntwright fit %s %q \"R003 + R041\"", c.args[0], c.args[1])
	}
	return c.fitOne()
}

// fitPlan plans and records every network of the plan.
func (c *call) fitPlan() (report.Document, error) {
	s, made, err := c.makePlan()
	if err != nil {
		return report.Document{}, err
	}
	var changes []change
	for _, position := range made.open {
		if s.changed(made, position) {
			changes = append(changes, change{position, s.networks[position]})
		}
	}
	doc, err := c.planDocument(s, made)
	if len(changes) == 0 {
		doc.Closing = append(doc.Closing, "nothing was written")
		return doc, err
	}
	c.save = func() error { return s.record(changes) }
	doc.Closing = append(doc.Closing, fmt.Sprintf("fitted %d %s; written to %s and %s", len(changes), wording.Plural(len(changes), "position"), s.path, s.drawer.Path()))
	return doc, err
}

// change is a position and what is in it from now on; the zero Network opens it.
type change struct {
	position int
	network  wiring.Network
}

// fitOne records one network in one position.
func (c *call) fitOne() (report.Document, error) {
	n, err := wiring.Parse(c.args[2])
	if err != nil {
		return report.Document{}, usageError{err}
	}
	s, err := c.openSetup(c.args[0], len(n.IDs()) > 0)
	if err != nil {
		return report.Document{}, err
	}
	position, err := s.find(c.args[1])
	if err != nil {
		return report.Document{}, err
	}
	n, _ = s.inDrawerOrder(n)
	if err := s.mayTake(position, n); err != nil {
		return report.Document{}, err
	}
	c.save = func() error { return s.record([]change{{position, n}}) }
	if err := s.fill(position, n); err != nil {
		return report.Document{}, err
	}
	return c.fittedDocument(s, position, "now holds "+n.String())
}

// runUnfit opens a position.
func runUnfit(c *call) (report.Document, error) {
	s, err := c.openSetup(c.args[0], false)
	if err != nil {
		return report.Document{}, err
	}
	position, err := s.find(c.args[1])
	if err != nil {
		return report.Document{}, err
	}
	if s.open(position) {
		return report.Document{}, fmt.Errorf("%q is open already; %s", s.positions[position].Name, s.path)
	}
	c.save = func() error { return s.record([]change{{position, wiring.Network{}}}) }
	s.networks[position], s.leaves[position] = wiring.Network{}, nil
	doc, err := c.fittedDocument(s, position, "is open now")
	doc.Good = true
	return doc, err
}

// fittedDocument shows the meter after a change of one position.
func (c *call) fittedDocument(s *setup, position int, what string) (report.Document, error) {
	doc, answer := c.meterDocument(s)
	doc.Heading = fmt.Sprintf("%s: %s %s", s.meter.Name, s.positions[position].Name, what)
	doc.Notes, doc.Answer, doc.Good = answer.Notes, *answer, true
	return doc, nil
}

// find is the position of that name; spaces before a unit do not count.
func (s *setup) find(name string) (int, error) {
	if i, found := s.meter.FindPosition(name); found {
		return i, nil
	}
	if i, found := s.onlyPositionOf(name); found {
		return i, nil
	}
	var names []string
	for _, p := range s.positions {
		names = append(names, p.Name)
	}
	if len(names) == 0 {
		return 0, fmt.Errorf("%s: the meter has no positions to fill", s.path)
	}
	return 0, fmt.Errorf("%s: no position %q%s; there are %s", s.path, name, wording.Meant(name, names), wording.List(wording.Quoted(names)))
}

// onlyPositionOf is the one position that ends in this name, such as the range
// of a shunt; not found where there is none, or more than one.
func (s *setup) onlyPositionOf(name string) (at int, found bool) {
	for i, p := range s.positions {
		for _, k := range meter.Kinds() {
			if !meter.SameName(p.Name, k.Name+" "+name) {
				continue
			}
			if found {
				return 0, false
			}
			at, found = i, true
		}
	}
	return at, found
}

// mayTake refuses a part that is not there, stands twice in the network, or is
// fitted elsewhere.
func (s *setup) mayTake(position int, n wiring.Network) error {
	if _, err := s.bench.leaves(n, s.meter.Movement.Instrument); err != nil {
		return err
	}
	seen := map[string]bool{}
	for _, id := range n.IDs() {
		where := s.taken[id]
		if where == "" {
			where = s.parts[s.index[id]].Fitted
		}
		switch {
		case seen[id]:
			return fmt.Errorf("network %q: part %q stands twice; one resistor fits one place", n, id)
		case where != "" && where != s.where(position):
			return fmt.Errorf("part %q is fitted in %q; take it out there first with shuntwright unfit", id, where)
		}
		seen[id] = true
	}
	return nil
}

// inDrawerOrder puts the operands of every junction into the order of the
// drawer; resistances that are not in it come first, as they stand. It tells
// the place of the network's first part too.
func (s *setup) inDrawerOrder(n wiring.Network) (wiring.Network, int) {
	if n.Op == wiring.Leaf {
		if i, known := s.index[n.ID]; known && n.ID != "" {
			return n, i
		}
		return n, -1
	}
	type placed struct {
		wiring.Network
		first int
	}
	var operands []placed
	for _, o := range n.Of {
		sorted, first := s.inDrawerOrder(o)
		operands = append(operands, placed{sorted, first})
	}
	slices.SortStableFunc(operands, func(a, b placed) int { return a.first - b.first })
	out := wiring.Network{Op: n.Op}
	for _, o := range operands {
		out.Of = append(out.Of, o.Network)
	}
	return out, operands[0].first
}

// record writes the changes: into the meter file, and into the drawer where
// parts of it come or go. The drawer is written first; if the meter file then
// cannot be, the drawer gets its old content back.
func (s *setup) record(changes []change) error {
	data := s.data
	touched := false
	for _, ch := range changes {
		var err error
		if data, err = edited(data, s.positions[ch.position].Name, ch.network); err != nil {
			return fmt.Errorf("%s: %w", s.path, err)
		}
		moved, err := s.move(ch)
		if err != nil {
			return err
		}
		touched = touched || moved
	}
	if touched {
		if err := s.drawer.Save(); err != nil {
			return err
		}
	}
	if err := s.writeMeter(data); err != nil {
		if touched {
			inventory.Undo(s.drawer.Path())
		}
		return fmt.Errorf("writing meter: %w", err)
	}
	return nil
}

// writeMeter replaces the meter file, if nobody else has changed it meanwhile.
func (s *setup) writeMeter(data []byte) error {
	_, err := safefile.Write(s.path, data, s.stamp)
	return err
}

// edited is the meter file with one position changed.
func edited(data []byte, position string, n wiring.Network) ([]byte, error) {
	if isOpen(n) {
		return meterfile.ClearFitted(data, position)
	}
	return meterfile.SetFitted(data, position, n.String())
}

// move notes in the drawer that the parts of a position come out and others go in.
func (s *setup) move(ch change) (bool, error) {
	where, moved := s.where(ch.position), false
	in := map[string]bool{}
	for _, id := range ch.network.IDs() {
		in[id] = true
	}
	for _, p := range s.parts {
		was := strings.TrimSpace(p.Fitted)
		switch {
		case in[p.ID]:
			p.Fitted = where
		case was == where:
			p.Fitted = ""
		default:
			continue
		}
		if p.Fitted != was {
			moved = true
			if err := s.drawer.Replace(p); err != nil {
				return false, err
			}
		}
	}
	return moved, nil
}
