package worksheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/report/sheet"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// picked is one resistor that goes into the meter.
type picked struct {
	wiring.Network
	place, position string
	beyond          string // what it has too much of by its ratings
	reads           report.Cell
	order           int        // in the drawer; -1: it is in no drawer
	there           bool       // it is in its position already
	marked          bool       // nobody has measured it
	watts, volts    [2]float64 // what it carries, and what it may
}

// pick lists the resistors by where they lie, then by the drawer's order. Those
// that are in the meter already come last.
func (m *maker) pick() []picked {
	var all []picked
	ratings := m.answer.Ratings
	nothing := [2]float64{math.NaN(), math.NaN()}
	for i, n := range m.Networks {
		for k, l := range leavesOf(n) {
			one := picked{Network: l, position: m.Positions[i].Name, reads: readsOf(m.Setup, l, m.Leaves[i][k]), order: -1, place: "in the set", marked: m.Leaves[i][k].Measured.Marked,
				watts: nothing, volts: nothing}
			if at, known := m.Index[l.ID]; known {
				one.place, one.order = strings.TrimSpace(m.Parts[at].Place), at
			}
			if len(ratings) > 0 && ratings[0].Position == one.position {
				r := ratings[0]
				ratings = ratings[1:]
				one.watts, one.volts, one.beyond = [2]float64{r.Watts, report.Number(r.RatedWatts)}, [2]float64{r.Volts, report.Number(r.RatedVolts)}, r.Beyond()
			}
			if m.Planned != nil {
				one.there = has(m.Planned[i], l)
				if !one.there && l.ID == "" {
					one.place = "to wind"
				}
			}
			all = append(all, one)
		}
	}
	slices.SortStableFunc(all, func(a, b picked) int {
		switch {
		case a.there && !b.there:
			return 1
		case b.there && !a.there:
			return -1
		}
		if c := strings.Compare(a.place, b.place); c != 0 {
			return c
		}
		return a.order - b.order
	})
	return all
}

// leavesOf are the resistors of a network, none of the zero network.
func leavesOf(n wiring.Network) []wiring.Network {
	if n.IsNothing() {
		return nil
	}
	return n.Leaves()
}

// has tells whether a network has a resistor.
func has(n, resistor wiring.Network) bool {
	return slices.ContainsFunc(leavesOf(n), func(l wiring.Network) bool { return l.String() == resistor.String() })
}

// pickList says what to take from where, and what every part has to bear.
func (m *maker) pickList() sheet.Section {
	all := m.pick()
	if len(all) == 0 {
		return sheet.Section{Heading: "Parts", Before: []string{"No part is fitted."}}
	}
	t := &sheet.Table{Columns: []sheet.Column{{Title: "part"}, {Title: "from"}, {Title: "into"}, {Title: "carries, of rated", Kind: "number"}, {Title: "done", Kind: "done"}}}
	for _, p := range all {
		name := sheet.Words(unbroken(p.ID), p.Length.Text)
		name.Lines = append(name.Lines, p.reads)
		if p.marked {
			name.Lines = append(name.Lines, report.Words("as marked: measure it"))
		}
		done := sheet.Cell{Tick: true}
		if p.there {
			done = sheet.Words("there")
		}
		carries := sheet.Figures(ofRated(p.watts, quantity.Watt, 2), ofRated(p.volts, quantity.Volt, 3))
		if p.beyond != "" {
			carries.Lines = append(carries.Lines, report.Words(strings.ToUpper(p.beyond)))
		}
		t.Rows = append(t.Rows, []sheet.Cell{name, sheet.Words(unbroken(p.place)), sheet.Words(unbroken(p.position)), carries, done})
	}
	s := sheet.Section{Heading: fmt.Sprintf("Parts: %d", len(all)), Table: t}
	for _, words := range m.Wind {
		s.After = append(s.After, strings.ToUpper(words[:1])+words[1:]+".")
	}
	if slices.ContainsFunc(all, func(p picked) bool {
		return !p.IsWire() && !math.IsNaN(p.watts[0]) && math.IsNaN(p.watts[1]) && math.IsNaN(p.volts[1])
	}) {
		s.After = append(s.After, "?: the rating is not known. Hold the part against what it carries: at most half of its watts, and its volts.")
	}
	return s
}

// ofRated is what a part carries beside what it may.
func ofRated(x [2]float64, unit quantity.Unit, digits int) report.Cell {
	if math.IsNaN(x[0]) {
		return report.Cell{}
	}
	rated := "?"
	if !math.IsNaN(x[1]) {
		rated = report.Short(x[1], unit)
	}
	return report.Pair(quantity.Format(x[0], unit, digits)+" of "+rated, report.Exact(x[0]))
}

// positionsTable says what every position must be, what these parts make, and
// leaves room for what is measured before the movement is joined to it.
func (m *maker) positionsTable() []sheet.Section {
	t := &sheet.Table{Columns: []sheet.Column{{Title: "position"}, {Title: "must be", Kind: "number"}, {Title: "these parts make", Kind: "number"}, {Title: "measured", Kind: "blank"}}}
	for _, p := range m.answer.Positions {
		limit := report.Number(p.LimitPercent)
		makes := sheet.Words("open")
		if p.Network != "" {
			made := report.Quantity(report.Number(p.Ohms), quantity.Ohm, report.ByLimit(limit))
			made.Text += " " + report.PercentLimit(limit).Text
			makes = sheet.Figures(made)
		}
		t.Rows = append(t.Rows, []sheet.Cell{sheet.Words(unbroken(p.Position)), sheet.Figures(report.Quantity(report.Number(p.TargetOhms), quantity.Ohm, report.Target(m.File.Coil))), makes, {}})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return []sheet.Section{{Heading: "Positions", Table: t, After: []string{"Measure each with the movement disconnected, leads' resistance subtracted."}}}
}

// wiring is the drawings of the circuits.
func (m *maker) wiring() sheet.Section {
	s := sheet.Section{Heading: "Wiring", Drawings: Wiring(m.Setup)}
	if len(s.Drawings) > 1 {
		s.Before = []string{"There is one movement: every drawing shows it with other ranges."}
	}
	for i, p := range m.answer.Positions {
		if report.Number(p.Ohms) < small && m.liesAcross(m.Positions[i].Resistor) {
			s.After = []string{"Where a shunt is below 1 Ω, join the movement's wires at its own ends: 10 cm of 0.5 mm² copper are 3.4 mΩ (IEC 60028), and count if they carry its current."}
		}
	}
	if slices.ContainsFunc(m.Stated, func(one asbuilt.Stated) bool {
		return m.Meter.Resistors()[one.Resistor].Use == meter.Contact && one.Measured.Ohms > 0
	}) {
		s.After = append(s.After, "Contact is what the switch and its wires have: no part.")
	}
	return s
}

// small is a shunt, in ohms, in which wires count.
const small = 1

// liesAcross tells a resistor that lies across the movement on some range.
func (m *maker) liesAcross(resistor int) bool {
	for r := range m.Ranges {
		if slices.Contains(m.Meter.Path(r).Across, resistor) {
			return true
		}
	}
	return false
}
