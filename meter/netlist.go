package meter

import (
	"fmt"

	"shuntwright/meter/nodal"
)

// Nodes of the netlists of ranges; the common end is nodal.Ground. A range
// wires its lead from Terminal to Tap, what lies across its branch from Tap to
// the common end, and its branch from Tap to MovementTop, where swamp and coil
// follow.
const (
	Terminal    = "terminal"
	Tap         = "tap"
	MovementTop = "movement"
	CoilTop     = "coil"
)

// Netlist wires range r with the resistances of a state and without a source:
// that goes between Terminal and nodal.Ground. elements holds the element of
// each resistor by its index in Resistors, -1 where the range does not use it.
// A resistance that is not known makes the netlist one that does not solve.
func (m *Meter) Netlist(st State, r int) (net *nodal.Netlist, elements []nodal.Element) {
	net, elements = new(nodal.Netlist), make([]nodal.Element, len(m.resistors))
	for i := range elements {
		elements[i] = -1
	}
	p := m.paths[r]
	branch := p.Branch[:len(p.Branch)-2] // without swamp and coil
	series := func(from, to string, list []int) {
		at := from
		for k, i := range list {
			next := fmt.Sprintf("%s to %s %d", from, to, k+1)
			if k == len(list)-1 {
				next = to
			}
			elements[i] = net.Resistor(at, next, st.Ohms[i])
			at = next
		}
		if len(list) == 0 {
			net.Resistor(from, to, 0)
		}
	}
	series(Terminal, Tap, p.Lead)
	if len(p.Across) > 0 {
		series(Tap, nodal.Ground, p.Across)
	}
	series(Tap, MovementTop, branch)
	elements[swampIndex] = net.Resistor(MovementTop, CoilTop, st.Ohms[swampIndex])
	elements[coilIndex] = net.Resistor(CoilTop, nodal.Ground, st.Ohms[coilIndex])
	return net, elements
}
