package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/inventory/safefile"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

func fitCommand() *command {
	return &command{
		name: "fit", operands: "METER [POSITION NETWORK]", least: 1, most: 3,
		does: "writes what is fitted into the meter file and the drawer",
		more: `With METER alone it takes the plan (and plan's flags, --trim too). With a position and a
network it records what is really there, a part as found too: a resistance counts as
measured with the instrument of the coil. With --instrument another one read it, and it
becomes a part of the drawer, which tells what each was read with.`,
		example: `shuntwright fit bench.json "shunt 10 mA" "R003 + R041"
  records that these two parts are now the shunt of the 10 mA range`,
		flags: append(slices.Clone(planFlags), "instrument", "wait"),
		run:   runFit,
	}
}

func unfitCommand() *command {
	return &command{
		name: "unfit", operands: "METER POSITION", least: 2, most: 2,
		does: "records that a position is open again",
		example: `shuntwright unfit bench.json "shunt 10 mA"
  takes note that the shunt is out; its parts are free again`,
		flags: []string{"drawer", "instruments", "wait"},
		run:   runUnfit,
	}
}

// runFit takes the plan, or records one network.
func runFit(c *call) (report.Document, error) {
	switch len(c.args) {
	case 1:
		if c.options.instrument != "" {
			return report.Document{}, misused("--instrument names what read a resistance that is fitted: shuntwright fit %s POSITION \"24.6 ohm\" --instrument %s", c.args[0], report.InShell(c.options.instrument))
		}
		return c.fitPlan()
	case 2:
		return report.Document{}, misused("NETWORK is missing: shuntwright fit %s %q \"R003 + R041\"", c.args[0], c.args[1])
	}
	return c.fitOne()
}

// fitPlan plans and records every network of the plan.
func (c *call) fitPlan() (report.Document, error) {
	if err := c.hold(c.args[0]); err != nil {
		return report.Document{}, err
	}
	s, made, err := c.makePlan()
	if err != nil {
		return report.Document{}, err
	}
	var changes []asbuilt.Change
	for _, position := range made.Open {
		if s.changed(made, position) {
			changes = append(changes, asbuilt.Change{Position: position, Network: s.Networks[position]})
		}
	}
	for _, w := range made.wound.done {
		if w.Spooled() {
			changes = append(changes, asbuilt.Change{Position: w.Position, Network: w.Network()})
		}
	}
	doc, err := c.planDocument(s, made)
	if len(changes) == 0 {
		doc.BottomLine = append(doc.BottomLine, "nothing was written")
		return doc, err
	}
	c.save = func(in *safefile.Change) error { return s.Record(in, changes) }
	var were, are []string
	for _, ch := range changes {
		were, are = append(were, made.Before[ch.Position].IDs()...), append(are, ch.Network.IDs()...)
	}
	doc.BottomLine = append(doc.BottomLine, s.comeOut(were, are)...)
	doc.BottomLine = slices.Insert(doc.BottomLine, 0, fmt.Sprintf("fitted %s; written to %s and %s", report.Counted(len(changes), "position"), s.Path, s.Drawer.Path()))
	if doc.Next = s.afterWinding(made); doc.Next == "" {
		doc.Next = c.afterPredict(s)
	}
	return doc, err
}

// fitOne records one network in one position.
func (c *call) fitOne() (report.Document, error) {
	n, err := wiring.Parse(c.args[2])
	if err != nil && strings.ContainsAny(c.args[2], "%±") {
		return report.Document{}, misused("%w; a part known by its marking goes into the drawer first: shuntwright drawer add --nominal 4M --tolerance 5 --id NAME, then fit NAME", err)
	}
	if err != nil {
		return report.Document{}, usageError{err}
	}
	if by := c.options.instrument; by != "" {
		c.asFound = inventory.NewPart(quantity.Value{})
		if c.asFound.Ohms, err = quantity.ParseNamed(c.args[2], quantity.Positive, quantity.Ohm); err != nil {
			return report.Document{}, misused("--instrument %q is about one resistance: %w", by, err)
		}
		c.asFound.Instrument = by
	}
	s, position, err := c.holdPosition(n.Listed())
	if err != nil {
		return report.Document{}, err
	}
	what := ""
	if c.asFound.Measured() {
		if n, err = wiring.Parse(c.asFound.ID); err != nil {
			return report.Document{}, err
		}
		what = fmt.Sprintf(" (%s by %s)", c.asFound.Ohms.Text, c.asFound.Instrument)
	}
	n, _ = s.InDrawerOrder(n)
	if err := s.MayTake(position, n); err != nil {
		return report.Document{}, err
	}
	c.save = func(in *safefile.Change) error {
		return s.Record(in, []asbuilt.Change{{Position: position, Network: n}})
	}
	before, wasOff := s.Networks[position], c.farOff(s)
	if err := s.Fill(position, n); err != nil {
		return report.Document{}, err
	}
	doc, err := c.fittedDocument(s, position, before, before.IDs(), "now holds "+n.String()+what)
	if slices.ContainsFunc(c.farOff(s), func(r int) bool { return !slices.Contains(wasOff, r) }) {
		doc.Next = "shuntwright undo"
	}
	return doc, err
}

// farOff are the ranges off by more than twice the class: what puts one there is
// more likely a slip than a part to trim.
func (c *call) farOff(s *setup) (far []int) {
	for r, one := range s.Meter.Predict(s.Ohms()).Ranges {
		if one.Whole() && math.Abs(one.ErrorPercent) > 2*s.class(c) {
			far = append(far, r)
		}
	}
	return far
}

// holdPosition finds the position that the call names, in files that nobody else
// writes until it ends.
func (c *call) holdPosition(needDrawer bool) (s *setup, position int, err error) {
	if err = c.hold(c.args[0]); err != nil {
		return nil, 0, err
	}
	if s, err = c.openSetup(c.args[0], needDrawer); err != nil {
		return nil, 0, err
	}
	position, err = s.Find(c.args[1])
	return s, position, err
}

// runUnfit opens a position.
func runUnfit(c *call) (report.Document, error) {
	s, position, err := c.holdPosition(false)
	if err != nil {
		return report.Document{}, err
	}
	left, err := s.LeftBehind(position)
	if err != nil {
		return report.Document{}, err
	}
	c.save = func(in *safefile.Change) error { return s.Record(in, []asbuilt.Change{{Position: position}}) }
	before := s.Networks[position]
	s.Networks[position], s.Leaves[position] = wiring.Network{}, nil
	return c.fittedDocument(s, position, before, append(before.IDs(), left...), "is open now")
}

// fittedDocument says what a change of one position does: how its ranges then
// read, what it replaced, and which of the parts that were there are free again.
func (c *call) fittedDocument(s *setup, position int, before wiring.Network, were []string, what string) (report.Document, error) {
	f := c.forecast(s)
	doc, answer := inBrief(f)
	name := s.Positions[position].Name
	stands := strings.TrimPrefix(doc.Heading, s.Meter.Name+": ")
	doc.Heading = fmt.Sprintf("%s: %s %s", s.Meter.Name, name, what)
	if reads := f.Reads(answer, []int{position}); reads != "" {
		doc.Heading += "; " + reads
	}
	doc.BottomLine = append([]string{stands}, doc.BottomLine...)
	if now := s.Networks[position]; !before.IsNothing() && !s.IsOpen(position) && before.String() != now.String() {
		doc.BottomLine = append(doc.BottomLine, "replaced: "+before.String())
	}
	doc.BottomLine = append(doc.BottomLine, s.comeOut(were, s.Networks[position].IDs())...)
	doc.BottomLine = append(doc.BottomLine, wireBack(before, s.Networks[position])...)
	doc.Next = c.afterPredict(s)
	doc.Notes, doc.Answer, doc.Good = answer.Notes, *answer, f.Overloaded() == ""
	return doc, nil
}

// comeOut says which of the parts that were fitted are free now, and which are
// not, because another meter of the same name has them.
func (s *setup) comeOut(were, are []string) []string {
	var out, free []string
	for _, id := range were {
		switch path, stays := s.InNamesake(id); {
		case slices.Contains(are, id):
		case stays:
			out = append(out, fmt.Sprintf("%s is not free: %s has it, which is called %q too", id, path, s.Meter.Name))
		default:
			free = append(free, id)
		}
	}
	if len(free) > 0 {
		out = append(out, "free again: "+report.List(free))
	}
	return out
}

// wireBack says how much wire goes back to its spool.
func wireBack(before, now wiring.Network) []string {
	var out []string
	lengths, stays := now.Lengths(), asbuilt.StaysCut(before, now)
	for id, metres := range before.Lengths() {
		if is := quantity.Format(metres, quantity.Metre, 4); stays[id] > 0 {
			out = append(out, fmt.Sprintf("%s of %s stay cut, as part of what was measured; if they came out, take this back with shuntwright undo, and unfit before fit", is, id))
		} else if more := metres - lengths[id]; more > 0 {
			out = append(out, fmt.Sprintf("back on %s: %s", id, quantity.Format(more, quantity.Metre, 4)))
		}
	}
	slices.Sort(out)
	return out
}
