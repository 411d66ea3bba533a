// Package wiring holds the text form of a network of resistors, such as
// "R001 + (R002 || 24.6 ohm)", and what follows from how a network is wired:
// its resistance, how far each leaf moves it, and the share of the current and
// of the voltage that each leaf carries.
package wiring

import (
	"slices"
	"strconv"
	"strings"

	"shuntwright/meter/quantity"
)

// Op tells how a network joins its operands.
type Op int

// A network is one resistor, or networks in series or in parallel.
const (
	Leaf Op = iota
	Series
	Parallel
)

// sign returns what stands between the operands in the text.
func (o Op) sign() string {
	if o == Parallel {
		return " || "
	}
	return " + "
}

// Network is one resistor, or two or more networks in series or in parallel,
// none of them joined by the same Op as the network itself. The zero Network
// is no network: it has no text that Parse takes.
type Network struct {
	Op     Op
	ID     string         // of a leaf that is a part of the drawer, or wire of a spool of it; else empty
	Length quantity.Value // of a leaf that is wire, in metres; else the zero Value
	Ohms   quantity.Value // of a leaf that is a resistance as measured; else the zero Value
	Of     []Network      // operands of Series and Parallel
}

// Join joins networks in series or in parallel in the order given and
// flattens operands of the same kind. A single network comes back as it is.
func Join(op Op, of ...Network) Network {
	if len(of) == 1 {
		return of[0]
	}
	n := Network{Op: op}
	for _, o := range of {
		if o.Op == op {
			n.Of = append(n.Of, o.Of...)
		} else {
			n.Of = append(n.Of, o)
		}
	}
	return n
}

// String returns the canonical text, which Parse reads back to the same
// network: operands in the order they have, brackets only where series and
// parallel mix, measured resistances as typed. A resistance typed without its
// unit gets one, as without one it would be an id.
func (n Network) String() string {
	if n.Op == Leaf {
		return n.leafText()
	}
	var text strings.Builder
	for i, o := range n.Of {
		if i > 0 {
			text.WriteString(n.Op.sign())
		}
		if o.Op == Leaf {
			text.WriteString(o.String())
		} else {
			text.WriteString("(" + o.String() + ")")
		}
	}
	return text.String()
}

// leafText writes no plus sign, neither before the number nor in its exponent:
// between brackets it would put resistors in series.
func (n Network) leafText() string {
	if n.IsWire() {
		return n.ID + "[" + strings.ReplaceAll(n.Length.Text, "+", "") + "]"
	}
	if n.ID != "" || n.Ohms == (quantity.Value{}) {
		return n.ID
	}
	text := strings.ReplaceAll(n.Ohms.Text, "+", "")
	if text == "" {
		text = strings.ReplaceAll(strconv.FormatFloat(n.Ohms.Base, 'g', -1, 64), "+", "")
	}
	if !endsInOhms(text) {
		text += " ohm"
	}
	return text
}

// Listed tells a network that needs the drawer to be understood: parts of it, or
// wire off its spools, are in it.
func (n Network) Listed() bool {
	return slices.ContainsFunc(n.Leaves(), func(leaf Network) bool { return leaf.ID != "" })
}

// IsWire tells a leaf that is a length of wire off the spool ID.
func (n Network) IsWire() bool { return n.Length != quantity.Value{} }

// Leaves returns the resistors of the network, left to right.
func (n Network) Leaves() []Network {
	if n.Op == Leaf {
		return []Network{n}
	}
	var leaves []Network
	for _, o := range n.Of {
		leaves = append(leaves, o.Leaves()...)
	}
	return leaves
}

// IDs returns the ids of the parts of the drawer in the network, left to
// right; measured resistances have none, and spools stay in the drawer when wire
// is cut off them, so both are left out.
func (n Network) IDs() []string {
	var ids []string
	for _, leaf := range n.Leaves() {
		if leaf.ID != "" && !leaf.IsWire() {
			ids = append(ids, leaf.ID)
		}
	}
	return ids
}

// IsNothing tells the zero network, which stands for nothing.
func (n Network) IsNothing() bool { return len(n.Of) == 0 && n.ID == "" && n.Ohms.Text == "" }

// Lengths are the metres of wire in a network, by spool.
func (n Network) Lengths() map[string]float64 {
	out := map[string]float64{}
	for _, l := range n.Leaves() {
		if l.IsWire() {
			out[l.ID] += l.Length.Base
		}
	}
	return out
}
