package worksheet

import (
	"fmt"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/report/sheet"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// Wiring draws a meter as it is: ranges that have the same shape, each with a
// resistor of its own, in one drawing, every other circuit in one of its own. It
// goes by the paths of the ranges, whatever kind of circuit they are.
func Wiring(s *asbuilt.Setup) []sheet.Drawing {
	d := newDrafter(s)
	var out []sheet.Drawing
	for _, ranges := range d.groups() {
		for _, c := range d.circuits(ranges) {
			out = append(out, c.Draw())
		}
	}
	return out
}

// drafter turns a meter into circuits to be drawn.
type drafter struct {
	*asbuilt.Setup
	resistors []meter.Resistor
	state     meter.State
	targets   []meter.PositionPrediction
}

func newDrafter(s *asbuilt.Setup) *drafter {
	return &drafter{Setup: s, resistors: s.Meter.Resistors(), state: s.Meter.State(s.Ohms()), targets: s.Meter.Predict(s.Ohms()).Positions}
}

// path is that of a range without the coil, and without wires.
func (d *drafter) path(r int) meter.Path {
	p := d.Meter.Path(r)
	wires := func(i int) bool {
		use := d.resistors[i].Use
		return use == meter.Coil || use != meter.Fitted && d.state.Ohms[i] == 0
	}
	return meter.Path{Lead: slices.DeleteFunc(p.Lead, wires), Across: slices.DeleteFunc(p.Across, wires), Branch: slices.DeleteFunc(p.Branch, wires)}
}

// groups are the ranges by drawing, in the order of the meter: those of one
// circuit, and those of circuits that have one range and are alike.
func (d *drafter) groups() [][]int {
	var out [][]int
	at := map[string]int{}
	for r, one := range d.Ranges {
		key := fmt.Sprint("circuit ", one.Circuit)
		if len(d.Meter.Circuits[one.Circuit].Ranges()) == 1 {
			key = d.shape(r, key)
		}
		i, known := at[key]
		if !known {
			i, out = len(out), append(out, nil)
			at[key] = i
		}
		out[i] = append(out[i], r)
	}
	return out
}

// shape is the same for ranges that a switch chooses among in one drawing.
func (d *drafter) shape(r int, own string) string {
	p := d.path(r)
	switch {
	case len(p.Lead) == 0 && slices.Equal(p.Branch, d.swamp()):
		return "shunts"
	case len(p.Lead) > 0:
		return fmt.Sprint("multipliers ", p.Across, p.Branch)
	}
	return own
}

// swamp is the movement's swamping resistor, where it has one.
func (d *drafter) swamp() []int {
	at := slices.IndexFunc(d.resistors, func(r meter.Resistor) bool { return r.Use == meter.Swamp })
	if d.state.Ohms[at] == 0 {
		return nil
	}
	return []int{at}
}

// circuits are what the ranges of a group are drawn as: one circuit, or where
// their paths do not make one string with taps, one for each range.
func (d *drafter) circuits(ranges []int) []sheet.Circuit {
	c, possible := d.leads(ranges)
	if !possible {
		c, possible = d.shunts(ranges)
	}
	if !possible {
		c, possible = d.taps(ranges)
	}
	if possible {
		return []sheet.Circuit{c}
	}
	var out []sheet.Circuit
	for _, r := range ranges {
		if len(ranges) > 1 {
			out = append(out, d.circuits([]int{r})...)
		}
	}
	return out
}

// circuit is what all drawings of these ranges have.
func (d *drafter) circuit(ranges []int) sheet.Circuit {
	var kinds []string
	for _, r := range ranges {
		kinds = append(kinds, d.Meter.Circuits[d.Ranges[r].Circuit].Kind())
	}
	mv := d.Meter.Movement
	amperes := quantity.Format(mv.FullScaleAmperes, quantity.Ampere, 4)
	name := strings.Join(report.Unique(kinds), " and ")
	return sheet.Circuit{
		Title:    strings.ToUpper(name[:1]) + name[1:] + " " + report.Plural(len(ranges), "range"),
		Switched: len(d.Ranges) > 1,
		Movement: sheet.Movement{Letters: amperes[strings.LastIndex(amperes, " ")+1:],
			Current: report.Short(mv.FullScaleAmperes, quantity.Ampere), Coil: quantity.Format(mv.CoilOhms, quantity.Ohm, report.Typed(d.File.Coil))},
	}
}

// shunts draws ranges whose resistors lie across the movement, each its own.
func (d *drafter) shunts(ranges []int) (sheet.Circuit, bool) {
	c := d.circuit(ranges)
	for _, r := range ranges {
		p := d.path(r)
		if len(p.Lead) > 0 || len(d.Meter.Circuits[d.Ranges[r].Circuit].Ranges()) > 1 {
			return c, false
		}
		c.Between = d.places(p.Branch, r, "")
		c.Across.Rows = append(c.Across.Rows, d.row(r, p.Across))
		c.Switched = c.Switched && d.shape(r, "") != "" // else it stays in its lead
	}
	c.Across.Chain = !c.Switched
	return c, true
}

// leads draws ranges whose resistors carry the whole current: a string with
// taps, or each its own.
func (d *drafter) leads(ranges []int) (sheet.Circuit, bool) {
	c := d.circuit(ranges)
	first := d.path(ranges[0])
	all, chained, before := slices.Clone(ranges), true, []int(nil)
	slices.SortStableFunc(all, func(a, b int) int { return len(d.path(a).Lead) - len(d.path(b).Lead) })
	for _, r := range all {
		p := d.path(r)
		if len(p.Lead) == 0 || !slices.Equal(p.Across, first.Across) || !slices.Equal(p.Branch, first.Branch) {
			return c, false
		}
		own := len(p.Lead) - len(before) // before the tap of the range before
		chained = chained && own > 0 && slices.Equal(p.Lead[own:], before)
		before = p.Lead
	}
	c.Between = d.places(first.Branch, ranges[0], "")
	if len(first.Across) > 0 {
		c.Across.Rows = []sheet.Row{{Of: d.places(first.Across, ranges[0], "")}}
	}
	if chained && len(ranges) > 1 {
		c.Lead.Chain = true
		for i := range slices.Backward(all) { // what is furthest from the movement comes first
			own := d.path(all[i]).Lead
			if i > 0 {
				own = own[:len(own)-len(d.path(all[i-1]).Lead)]
			}
			c.Lead.Rows = append(c.Lead.Rows, d.row(all[i], own))
		}
		return c, true
	}
	for _, r := range ranges {
		c.Lead.Rows = append(c.Lead.Rows, d.row(r, d.path(r).Lead))
	}
	return c, len(d.Meter.Circuits[d.Ranges[ranges[0]].Circuit].Ranges()) == 1 || len(ranges) == 1
}

// taps draws a string across the movement that every range enters at a tap of
// its own.
func (d *drafter) taps(ranges []int) (sheet.Circuit, bool) {
	c := d.circuit(ranges)
	all := slices.Clone(ranges)
	slices.SortStableFunc(all, func(a, b int) int { return len(d.path(b).Across) - len(d.path(a).Across) })
	first := d.path(all[0])
	whole := first.Across
	for i, r := range all {
		p := d.path(r)
		above := len(whole) - len(p.Across)
		inBranch := slices.Clone(whole[:above])
		slices.Reverse(inBranch)
		if len(p.Lead) > 0 || !slices.Equal(p.Across, whole[above:]) || !slices.Equal(p.Branch, append(inBranch, first.Branch...)) {
			return c, false
		}
		to := len(whole)
		if i+1 < len(all) {
			to -= len(d.path(all[i+1]).Across)
		}
		c.Across.Rows = append(c.Across.Rows, d.row(r, whole[above:to]))
	}
	c.Across.Chain, c.Between = true, d.places(first.Branch, ranges[0], "")
	return c, true
}
