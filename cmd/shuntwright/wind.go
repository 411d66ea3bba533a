package main

import (
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
)

// windings are the positions of a plan that are made of wire.
type windings struct {
	done  []plan.Wound
	tried map[int]bool // positions that no spool serves
	used  map[string]float64
	auto  bool // what parts do not reach is wound without being asked
}

// windings puts what --wind names into the setup: of wire, or as what it will
// have once its wire is found.
func (c *call) windings(s *setup) (*windings, error) {
	w := &windings{tried: map[int]bool{}, used: map[string]float64{}}
	switch c.options.wind {
	case "", "needed":
		w.auto = !c.options.trim
		return w, nil
	case "never":
		return w, nil
	}
	p := c.planner(s)
	for _, name := range strings.Split(c.options.wind, ",") {
		position, err := s.Find(strings.TrimSpace(name))
		if err != nil {
			return nil, misused("--wind: %w; or say needed, or never", err)
		}
		if !s.IsOpen(position) {
			return nil, misused("--wind %q: something is fitted there; take it out first with shuntwright unfit %s %q", name, s.Path, s.Positions[position].Name)
		}
		wound, err := p.Wind(position, w.used)
		if err != nil {
			return nil, err
		}
		if err := w.put(s, wound); err != nil {
			return nil, err
		}
	}
	return w, nil
}

// put fills a position with its wire.
func (w *windings) put(s *setup, wound plan.Wound) error {
	w.done = append(w.done, wound)
	w.used[wound.Spool.ID] += wound.Metres
	return s.Fill(wound.Position, wound.Network())
}

// add winds the position that a plan serves worst and for which the drawer has
// wire, and tells whether there was one.
func (w *windings) add(s *setup, made *planned) (bool, error) {
	if !w.auto || len(made.Open) == 0 {
		return false, nil
	}
	for _, position := range made.planner.ToWind(&made.Outcome) {
		if w.tried[position] || !s.IsOpen(position) {
			continue
		}
		w.tried[position] = true
		wound, err := made.planner.Wind(position, w.used)
		if err != nil || !wound.Spooled() {
			continue
		}
		if err := w.put(s, wound); err != nil {
			return false, err
		}
		return true, nil // the others may be filled now
	}
	return false, nil
}

// at is what is wound in a position.
func (w *windings) at(position int) (plan.Wound, bool) {
	i := slices.IndexFunc(w.done, func(one plan.Wound) bool { return one.Position == position })
	if i < 0 {
		return plan.Wound{}, false
	}
	return w.done[i], true
}

// showWindings says how wire is cut and trimmed, and marks its positions.
func (c *call) showWindings(s *setup, made *planned, doc *report.Document, answer *report.MeterAnswer) {
	for _, w := range made.wound.done {
		name := s.Positions[w.Position].Name
		doc.Closing = append(doc.Closing, w.Words(name))
		p := &answer.Positions[w.Position]
		if w.Spooled() {
			p.Wire = &report.Wire{ID: w.Spool.ID, Millimetres: math.Round(w.Metres*1e5) / 100}
			continue
		}
		p.Network, p.ToDo = "", "wind"
		*answer.Open = append(*answer.Open, name)
		doc.Good = false
	}
}

// copperWire warns of wire that drifts as much as the coil.
func copperWire(w plan.Wound) bool { return w.Spool.TempcoPPM > 1000 }

// windingWarnings qualify what is wound.
func windingWarnings(made *planned) []string {
	var out []string
	for _, w := range made.wound.done {
		if copperWire(w) {
			out = append(out, w.Spool.ID+" is copper: "+quantity.Format(w.Ohms, quantity.Ohm, 3)+" of it changes by 4 % in 10 K; resistance wire does not")
		}
	}
	return out
}
