package asbuilt

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"shuntwright/inventory"
	"shuntwright/inventory/safefile"
	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// Change is a position and what is in it from now on; the zero Network opens it.
type Change struct {
	Position int
	Network  wiring.Network
}

// Record has the changes written: into the meter file, and into the drawer where
// parts of it come or go.
func (s *Setup) Record(in *safefile.Change, changes []Change) error {
	data := s.Data
	touched := false
	for _, ch := range changes {
		var err error
		if data, err = meterfile.SetFitted(data, s.Positions[ch.Position].Name, ch.Network.String()); err != nil {
			return fmt.Errorf("%s: %w", s.Path, err)
		}
		moved, err := s.move(ch)
		if err != nil {
			return err
		}
		cut, err := s.cut(ch)
		if err != nil {
			return err
		}
		touched = touched || moved || cut
	}
	if touched {
		if err := s.Drawer.Save(in); err != nil {
			return err
		}
	}
	return in.Write(s.Path, data, s.stamp)
}

// move notes in the drawer that the parts of a position come out and others go in.
func (s *Setup) move(ch Change) (bool, error) {
	where, moved := s.Where(ch.Position), false
	in := map[string]bool{}
	for _, id := range ch.Network.IDs() {
		in[id] = true
	}
	for _, p := range s.Parts {
		was := strings.TrimSpace(p.Fitted)
		switch {
		case in[p.ID]:
			p.Fitted = where
		case meter.SameName(was, where):
			if _, stays := s.InNamesake(p.ID); stays {
				continue
			}
			p.Fitted = ""
		default:
			continue
		}
		if p.Fitted != was {
			moved = true
			if err := s.Drawer.Replace(p); err != nil {
				return false, err
			}
		}
	}
	return moved, nil
}

// StaysCut are the metres of wire, by spool, that a network had and that are taken
// to be within a resistance that the one after it holds as measured: a section that
// is noted by its value was not unwound.
func StaysCut(before, now wiring.Network) map[string]float64 {
	if !slices.ContainsFunc(now.Leaves(), func(l wiring.Network) bool { return l.ID == "" && !l.IsNothing() }) {
		return nil
	}
	stays, still := before.Lengths(), now.Lengths()
	maps.DeleteFunc(stays, func(id string, _ float64) bool { return still[id] > 0 })
	return stays
}

// cut takes wire that goes into a position off its spool, and gives back what
// comes out.
func (s *Setup) cut(ch Change) (bool, error) {
	before := s.File.Fitted[ch.Position].Network
	wanted, stays := ch.Network.Lengths(), StaysCut(before, ch.Network)
	for id, metres := range before.Lengths() {
		wanted[id] -= metres - stays[id]
	}
	for id, metres := range wanted {
		if err := s.Drawer.Cut(id, metres); err != nil {
			return false, err
		}
	}
	return len(wanted) > 0, nil
}

// MayTake refuses a part that is not there, stands twice in the network, or is
// fitted elsewhere.
func (s *Setup) MayTake(position int, n wiring.Network) error {
	if _, err := s.Bench.Resistors(n, s.Meter.Movement.Instrument); err != nil {
		return err
	}
	if err := s.mayCut(position, n); err != nil {
		return err
	}
	seen := map[string]bool{}
	for _, id := range n.IDs() {
		if seen[id] {
			return fmt.Errorf("network %q: part %q stands twice; one resistor fits one place", n, id)
		}
		if err := s.free(position, id); err != nil {
			return err
		}
		seen[id] = true
	}
	return nil
}

// mayCut refuses wire that is too short to be wound, or of which not so much is
// left, what is in the position counted.
func (s *Setup) mayCut(position int, n wiring.Network) error {
	there := s.File.Fitted[position].Network.Lengths()
	for _, l := range n.Leaves() {
		if l.IsWire() && l.Length.Base < inventory.ShortestMetres {
			return fmt.Errorf("%s is too short to be wound: half a millimetre at its joints is %.2g %% of it; take thicker wire, at least %g mm of it",
				l, 0.05/l.Length.Base, 1000*inventory.ShortestMetres)
		}
	}
	for id, metres := range n.Lengths() {
		if left := s.Parts[s.Index[id]].Metres + there[id]; metres > left*(1+1e-9) {
			return fmt.Errorf("spool %q has %s left, and %s are wanted", id, quantity.Format(left, quantity.Metre, 4), quantity.Format(metres, quantity.Metre, 4))
		}
	}
	return nil
}

// InDrawerOrder puts the operands of every junction into the order of the
// drawer; resistances that are not in it come first, as they stand. It tells
// the place of the network's first part too.
func (s *Setup) InDrawerOrder(n wiring.Network) (wiring.Network, int) {
	if n.Op == wiring.Leaf {
		if i, known := s.Index[n.ID]; known && n.ID != "" {
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
		sorted, first := s.InDrawerOrder(o)
		operands = append(operands, placed{sorted, first})
	}
	slices.SortStableFunc(operands, func(a, b placed) int { return a.first - b.first })
	out := wiring.Network{Op: n.Op}
	for _, o := range operands {
		out.Of = append(out.Of, o.Network)
	}
	return out, operands[0].first
}
