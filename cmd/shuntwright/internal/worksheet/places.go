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

// row is one setting of the switch.
func (d *drafter) row(r int, resistors []int) sheet.Row {
	one := d.Ranges[r]
	row := sheet.Row{Range: one.Name, Of: d.places(resistors, r, one.Name)}
	if len(resistors) == 0 {
		row.Notes = append(row.Notes, "movement alone")
	}
	for _, i := range resistors {
		at := d.position(i)
		if at >= 0 && !d.IsOpen(at) && d.Networks[at].Op != wiring.Leaf {
			row.Notes = append(row.Notes, d.value(at))
		}
	}
	if volts := one.CircuitVolts; !math.IsNaN(volts) {
		row.Notes = append(row.Notes, "lead at "+quantity.Format(volts, quantity.Volt, 3))
	}
	return row
}

// position is the index of a resistor's position, -1 where it is none.
func (d *drafter) position(resistor int) int {
	return slices.IndexFunc(d.Positions, func(p meter.Position) bool { return p.Resistor == resistor })
}

// value is the resistance in a position with the digits that its limit lets
// stand.
func (d *drafter) value(at int) string {
	limit := asbuilt.ValueLimit(d.Networks[at], d.Leaves[at]).Limit
	return quantity.Format(d.state.Ohms[d.Positions[at].Resistor], quantity.Ohm, report.ByLimit(limit))
}

// places are resistors in series on range r, in the row that is named, or in
// none. What belongs to another circuit, such as a ring that a chain feeds, is
// drawn there; here it is one resistor.
func (d *drafter) places(resistors []int, r int, row string) []sheet.Place {
	var out []sheet.Place
	for len(resistors) > 0 {
		if n := d.elsewhere(resistors, r); n > 0 {
			out = append(out, d.together(resistors[:n]))
			resistors = resistors[n:]
			continue
		}
		if at := d.position(resistors[0]); at >= 0 {
			out = append(out, d.fitted(at, row))
		} else {
			i := resistors[0]
			out = append(out, sheet.Place{Network: sheet.Network{Name: d.shortName(i), Value: quantity.Format(d.state.Ohms[i], quantity.Ohm, 4)}})
		}
		resistors = resistors[1:]
	}
	return out
}

// elsewhere counts the positions at the head of the list that belong to another
// circuit than range r.
func (d *drafter) elsewhere(resistors []int, r int) int {
	for n, i := range resistors {
		if at := d.position(i); at < 0 || d.Positions[at].Circuit == d.Ranges[r].Circuit {
			return n
		}
	}
	return len(resistors)
}

// together is positions of another circuit as one resistor.
func (d *drafter) together(resistors []int) sheet.Place {
	ohms := 0.0
	for _, i := range resistors {
		ohms += d.state.Ohms[i]
	}
	p := d.Positions[d.position(resistors[0])]
	name := p.Name
	if len(resistors) > 1 {
		name = fmt.Sprintf("%s, %d sections", d.Meter.Circuits[p.Circuit].Kind(), len(resistors))
	}
	if math.IsNaN(ohms) {
		return sheet.Place{Name: name}
	}
	return sheet.Place{Network: sheet.Network{Name: name, Value: quantity.Format(ohms, quantity.Ohm, 4)}}
}

// fitted is a position with what fills it, and its name where the row does not
// say it.
func (d *drafter) fitted(at int, row string) sheet.Place {
	p := d.Positions[at]
	place := sheet.Place{Name: p.Name}
	if p.Name == d.Meter.Circuits[p.Circuit].Kind()+" "+row {
		place.Name = ""
	}
	switch target := d.targets[at].TargetOhms; {
	case !d.IsOpen(at):
		place.Network = d.network(d.Networks[at], d.Leaves[at])
	case !math.IsNaN(target):
		place.Network.Note = "for " + quantity.Format(target, quantity.Ohm, report.Target(d.File.Coil))
	}
	return place
}

// shortName is what a resistor is for: its name without that of its range.
func (d *drafter) shortName(i int) string {
	name, _, _ := strings.Cut(d.resistors[i].Name, " of ")
	for _, one := range d.Ranges {
		name = strings.TrimSuffix(name, " "+one.Name)
	}
	return name
}

// network is what fills a position.
func (d *drafter) network(n wiring.Network, leaves []asbuilt.Leaf) sheet.Network {
	if n.Op == wiring.Leaf {
		return sheet.Network{Name: n.ID, Value: readsOf(d.Setup, n, leaves[0]).Text, Note: n.Length.Text}
	}
	out := sheet.Network{Parallel: n.Op == wiring.Parallel}
	for _, o := range n.Of {
		k := len(o.Leaves())
		out.Of = append(out.Of, d.network(o, leaves[:k]))
		leaves = leaves[k:]
	}
	return out
}

// readsOf is what a resistor is worth, to the last digit that was read.
func readsOf(s *asbuilt.Setup, n wiring.Network, l asbuilt.Leaf) report.Cell {
	typed := n.Ohms
	if at, known := s.Index[n.ID]; known && n.ID != "" {
		typed = s.Parts[at].Ohms
	}
	digits := 4
	if typed.Step > 0 {
		digits = min(quantity.Digits(l.Measured.Ohms, typed.Step), report.ByLimit(100*l.Measured.LimitOhms()/l.Measured.Ohms))
	}
	return report.Quantity(l.Measured.Ohms, quantity.Ohm, digits)
}
