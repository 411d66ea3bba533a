// Package nodal solves small circuits of resistors, sources and diodes at d.c.:
// node voltages, branch currents, and how a current moves with every value. The
// unknowns are the voltage of every node and the current of every element (a
// sparse tableau, solved densely), so that a short of zero ohms and a break of
// infinitely many are elements like any other.
package nodal

import (
	"fmt"
	"math"
)

// Ground is the node at zero volts.
const Ground = "0"

// Element is the handle of one element of a netlist.
type Element int

type kind int

const (
	resistor kind = iota
	voltSource
	currentSource
	diode
)

type element struct {
	kind  kind
	a, b  int     // nodes; current flows from a to b through the element
	value float64 // ohms, volts or amperes
	diode Diode
}

// Netlist is a circuit as a list of elements between named nodes. The zero
// Netlist is empty and ready to use.
type Netlist struct {
	names    []string // of nodes, without ground
	index    map[string]int
	elements []element
	faults   []string // what was wrong with what was added
}

// node returns the index of a node, which is made where it is new; ground is -1.
func (n *Netlist) node(name string) int {
	if name == Ground {
		return -1
	}
	if at, ok := n.index[name]; ok {
		return at
	}
	if n.index == nil {
		n.index = map[string]int{}
	}
	n.index[name] = len(n.names)
	n.names = append(n.names, name)
	return n.index[name]
}

func (n *Netlist) add(e element, a, b string, valid bool) Element {
	if !valid {
		n.faults = append(n.faults, fmt.Sprintf("element %d between %q and %q has the value %g", len(n.elements), a, b, e.value))
	}
	e.a, e.b = n.node(a), n.node(b)
	n.elements = append(n.elements, e)
	return Element(len(n.elements) - 1)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// Resistor adds a resistor of zero or more ohms; zero is a short, +Inf a break.
// Its current counts from a to b.
func (n *Netlist) Resistor(a, b string, ohms float64) Element {
	return n.add(element{kind: resistor, value: ohms}, a, b, ohms >= 0)
}

// VoltSource adds a source that holds node a at so many volts above b. Its
// current counts from a to b through the source, so a source that delivers has
// a negative one.
func (n *Netlist) VoltSource(a, b string, volts float64) Element {
	return n.add(element{kind: voltSource, value: volts}, a, b, finite(volts))
}

// CurrentSource adds a source that drives so many amperes from a to b through
// itself: into node b.
func (n *Netlist) CurrentSource(a, b string, amperes float64) Element {
	return n.add(element{kind: currentSource, value: amperes}, a, b, finite(amperes))
}

// Diode adds a diode with its anode at a. Solve refuses a diode whose Check fails.
func (n *Netlist) Diode(a, b string, d Diode) Element {
	if err := d.Check(); err != nil {
		n.faults = append(n.faults, err.Error())
	}
	return n.add(element{kind: diode, diode: d}, a, b, true)
}

// floating returns the name of a node that nothing ties to ground, or "". A
// break ties nothing, nor does a current source.
func (n *Netlist) floating() string {
	tied := make([]bool, len(n.names)+1)
	tied[0] = true
	for changed := true; changed; {
		changed = false
		for _, e := range n.elements {
			if e.kind == currentSource || e.kind == resistor && math.IsInf(e.value, 1) || tied[e.a+1] == tied[e.b+1] {
				continue
			}
			tied[e.a+1], tied[e.b+1], changed = true, true, true
		}
	}
	for i, ok := range tied[1:] {
		if !ok {
			return n.names[i]
		}
	}
	return ""
}
