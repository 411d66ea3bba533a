package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
)

// windings are the positions of a plan that are made of wire.
type windings struct {
	done  []plan.Wound
	tried map[int]bool // positions that no spool serves
	alone []int        // those that --wind names and no wire alone serves: a part may, beside it
	used  map[string]float64
	auto  bool // what parts do not reach is wound without being asked
	// settled is true where nothing more is wound: what is planned is the plan.
	settled bool
}

// windings puts what --wind names into the setup: of wire, or as what it will
// have once its wire, or the part beside it, is found.
func (c *call) windings(s *setup) (*windings, error) {
	w := &windings{tried: map[int]bool{}, used: map[string]float64{}}
	if c.options.wind == "never" {
		return w, nil
	}
	w.auto = !c.options.trim
	p := c.planner(s)
	if c.options.wind == "" || c.options.wind == "needed" {
		return w, w.allOf(s, p)
	}
	for _, name := range strings.Split(c.options.wind, ",") {
		position, err := s.Find(strings.TrimSpace(name))
		if err != nil {
			return nil, misused("--wind: %w; or say needed, or never", err)
		}
		if _, twice := w.at(position); twice {
			continue
		}
		if !s.IsOpen(position) {
			return nil, misused("--wind %q: something is fitted there; take it out first with shuntwright unfit %s %q", name, s.Path, s.Positions[position].Name)
		}
		wound, err := p.Wind(position, w.used, nil)
		if err != nil {
			if len(s.Free(s.Taken, c.options.wanted)) == 0 {
				return nil, err
			}
			w.alone = append(w.alone, position)
		}
		if err := w.put(s, wound); err != nil {
			return nil, err
		}
	}
	return w, nil
}

// allOf winds what is open of wire alone where the drawer has nothing else: there
// is nothing to search.
func (w *windings) allOf(s *setup, p *plan.Planner) error {
	if !w.auto || len(s.Free(s.Taken, p.Wanted)) > 0 {
		return nil
	}
	for _, position := range s.OpenPositions() {
		wound, err := p.Wind(position, w.used, nil)
		if err != nil || !wound.Spooled() {
			continue // the search says that nothing is free
		}
		if err := w.put(s, wound); err != nil {
			return err
		}
	}
	return nil
}

// put fills a position with its wire.
func (w *windings) put(s *setup, wound plan.Wound) error {
	w.done = append(w.done, wound)
	w.used[wound.Spool.ID] += wound.Metres
	n, _ := s.InDrawerOrder(wound.Network())
	for _, id := range n.IDs() {
		s.Taken[id] = s.Where(wound.Position)
	}
	fill := s.FillTrimmed
	if wound.Spooled() {
		fill = s.Fill
	}
	err := fill(wound.Position, n)
	w.fourWires(s)
	return err
}

// fourWires takes note of how wound positions are read while they are trimmed.
func (w *windings) fourWires(s *setup) {
	for _, one := range w.done {
		for i := range s.Leaves[one.Position] {
			s.Leaves[one.Position][i].Measured.TwoWires = nil
		}
	}
}

// mayAdd tells whether something may be wound after the next plan.
func (w *windings) mayAdd(s *setup) bool {
	wire := slices.ContainsFunc(s.Parts, func(p inventory.Part) bool { return p.IsSpool() && p.Metres > w.used[p.ID] })
	return !w.settled && wire && (w.auto || len(w.alone) > 0)
}

// add winds the position that a plan serves worst and for which the drawer has
// wire, and tells whether there was one. What --wind names comes first.
func (w *windings) add(s *setup, made *planned) (bool, error) {
	if len(w.alone) > 0 {
		position := w.alone[0]
		wound, err := made.planner.Wind(position, w.used, made.planner.Unused(&made.Outcome, position))
		if err != nil {
			return false, err
		}
		w.alone = w.alone[1:]
		w.done = slices.DeleteFunc(w.done, func(one plan.Wound) bool { return one.Position == position })
		return true, w.put(s, wound)
	}
	if !w.auto || w.settled || len(made.Open) == 0 {
		return false, nil
	}
	for _, position := range made.planner.ToWind(&made.Outcome) {
		if w.tried[position] || !s.IsOpen(position) {
			continue
		}
		w.tried[position] = true
		wound, err := made.planner.Wind(position, w.used, made.planner.Unused(&made.Outcome, position))
		if err != nil || !wound.Spooled() {
			continue
		}
		return true, w.put(s, wound) // the others may be filled now
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

// showWindings says how wire is cut and trimmed, and marks its positions: one
// whose wire is still to be found is open, and has nothing in it.
func (c *call) showWindings(s *setup, made *planned, doc *report.Document, answer *predict.MeterAnswer) {
	for _, w := range made.wound.done {
		name := s.Positions[w.Position].Name
		p := &answer.Positions[w.Position]
		doc.Closing = append(doc.Closing, w.Words(name, report.Number(p.LimitPercent)))
		amperes, volts := w.Trim()
		said := &predict.Wire{TrimAmperes: amperes, TrimVolts: volts}
		if w.Spooled() {
			said.ID, said.Millimetres, said.CutMillimetres = w.Spool.ID, math.Round(w.Length().Base*1e8)/1e5, math.Ceil(w.Cut()*1e3-1e-6)
			said.WattsPerCentimetre, said.RatedAmperes = report.Some(w.WattsPerCentimetre()), report.Some(w.Spool.Amperes)
			p.Wire = said
			continue
		}
		said.Ohms = report.Some(w.Ohms)
		doc.Closing[len(doc.Closing)-1] += "; when it is wound: " + s.onceWound(w)
		*p = predict.Position{Position: p.Position, ToDo: toWind, TargetOhms: p.TargetOhms, ToWind: said, Watts: p.Watts, Volts: p.Volts}
		*answer.Open = append(*answer.Open, name)
		doc.Good = false
	}
}

// onceWound is the command that records a finished winding.
func (s *setup) onceWound(w plan.Wound) string {
	return "shuntwright fit " + report.InShell(s.Path) + " " + report.InShell(s.Positions[w.Position].Name) + " " + report.InShell(w.Reading())
}

// afterWinding is that of the first one whose wire is still to be found; empty
// where there is none.
func (s *setup) afterWinding(made *planned) string {
	for _, w := range made.wound.done {
		if !w.Spooled() {
			return s.onceWound(w)
		}
	}
	return ""
}

// waitWords say how the meter reads once what stays open is on its target.
func (s *setup) waitWords(made *planned) []string {
	if len(made.wait) == 0 {
		return nil
	}
	var names []string
	for _, w := range made.wait {
		names = append(names, s.Positions[w.Position].Name)
	}
	return []string{fmt.Sprintf("with %s on target: %s", report.List(names), made.onTarget)}
}

// laterWords say that a plan that makes the best of a wrong section is not the
// one for a section to be wound.
func (c *call) laterWords(s *setup, made *planned) []string {
	if c.options.wind == "never" || !slices.Contains(made.Plan.Filled, true) || c.options.trim {
		return nil
	}
	var names []string
	for _, w := range made.wound.done {
		names = append(names, s.Positions[w.Position].Name)
	}
	var wrong []string
	for _, position := range made.planner.Later(&made.Outcome) {
		wrong = append(wrong, s.Positions[position].Name)
	}
	if len(wrong) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("the other sections are chosen to make up for what %s is off; if it is to be wound of wire instead, plan with --wind %s",
		report.List(wrong), report.InShell(strings.Join(append(names, wrong...), ",")))}
}

// surerWords name the positions whose parts leave a range undecided and that the
// drawer has wire for.
func (c *call) surerWords(s *setup, made *planned, answer *predict.MeterAnswer) []string {
	if !made.wound.auto {
		return nil
	}
	var names []string
	for _, position := range made.Open {
		name := s.Positions[position].Name
		for _, r := range answer.Ranges {
			if r.Verdict == "undecided" && strings.HasSuffix(name, " "+r.Range) && made.planner.Surer(position) {
				names = append(names, name)
			}
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("surer of wire than of parts: --wind %s", report.InShell(strings.Join(names, ",")))}
}

// copperWire warns of wire that drifts as much as the coil.
func copperWire(w plan.Wound) bool { return w.Spool.TempcoPPM > 1000 }

// windingWarnings qualify what is wound.
func windingWarnings(made *planned) []string {
	var out []string
	for _, w := range made.wound.done {
		if copperWire(w) {
			out = append(out, w.Spool.ID+" is copper: it changes by 4 % in 10 K, as the coil does; predict --from 10C --to 40C shows what comes of it")
		}
	}
	return out
}
