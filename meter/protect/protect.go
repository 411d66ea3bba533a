// Package protect tells what the movement of a meter carries when a part fails
// under a supply, with and without clamp diodes, and what such diodes leak at
// full scale. It solves the circuit by nodal analysis, as the diodes bend it.
package protect

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/meter"
	"shuntwright/meter/nodal"
	"shuntwright/meter/quantity"
)

// Place is where clamp diodes lie.
type Place int

// The places of clamp diodes.
const (
	AcrossMovement  Place = iota + 1 // coil and swamping resistor together
	AcrossCoil                       // the coil alone
	AcrossTerminals                  // the terminals of the range
	AcrossShunt                      // what lies across the movement's branch; ranges without it have no diodes there
)

// Places are the words for the places.
var Places = map[string]Place{"movement": AcrossMovement, "coil": AcrossCoil, "terminals": AcrossTerminals, "shunt": AcrossShunt}

// Clamp is two strings of equal diodes back to back. The zero Clamp is no diodes.
type Clamp struct {
	Diode  nodal.Diode
	Across Place // zero: no diodes
}

// Source is what feeds a range.
type Source struct {
	volts, ohms, amperes float64
	current              bool
}

// Supply is a source of so many volts behind so many ohms; zero ohms hold the
// terminals at its voltage.
func Supply(volts, ohms float64) Source { return Source{volts: volts, ohms: ohms} }

// Current is a source that drives so many amperes whatever they meet.
func Current(amperes float64) Source { return Source{amperes: amperes, current: true} }

// fullScale is the source that gives a range its full-scale value.
func fullScale(r meter.Range) Source {
	if r.Unit == quantity.Ampere {
		return Current(r.FullScale)
	}
	return Supply(r.FullScale, 0)
}

// Load is what a range carries.
type Load struct {
	MovementAmperes float64
	CoilVolts       float64
	TerminalVolts   float64
	TerminalAmperes float64
	ClampVolts      float64 // across the diodes; NaN: there are none
	DiodeAmperes    float64 // in the conducting string; NaN: there are none
	ReverseAmperes  float64 // in the reversed string, as a magnitude; NaN: there are none
}

// Solve tells what range r carries, fed by a source and clamped by diodes. The
// error says what makes the circuit one without an answer, such as a resistance
// that is not known.
func Solve(m *meter.Meter, st meter.State, r int, s Source, c Clamp) (Load, error) {
	net, elements := m.Netlist(st, r)
	feed := s.add(net)
	var strings []nodal.Element
	if node := c.node(m, r); node != "" {
		strings = []nodal.Element{net.Diode(node, nodal.Ground, c.Diode), net.Diode(nodal.Ground, node, c.Diode)}
	}
	solved, err := net.Solve()
	if err != nil {
		return Load{}, fmt.Errorf("range %q: %w", m.Ranges()[r].Name, err)
	}
	coil := elements[slices.IndexFunc(m.Resistors(), func(r meter.Resistor) bool { return r.Use == meter.Coil })]
	load := Load{MovementAmperes: solved.Through(coil), CoilVolts: solved.Across(coil), TerminalVolts: solved.Volts(meter.Terminal),
		TerminalAmperes: solved.Through(feed), ClampVolts: math.NaN(), DiodeAmperes: math.NaN(), ReverseAmperes: math.NaN()}
	if strings != nil {
		load.ClampVolts, load.DiodeAmperes, load.ReverseAmperes = solved.Across(strings[0]), solved.Through(strings[0]), -solved.Through(strings[1])
	}
	return load, nil
}

// add puts the source into a netlist and returns the element that feeds the
// terminal.
func (s Source) add(net *nodal.Netlist) nodal.Element {
	if s.current {
		return net.CurrentSource(nodal.Ground, meter.Terminal, s.amperes)
	}
	net.VoltSource("supply", nodal.Ground, s.volts)
	return net.Resistor("supply", meter.Terminal, s.ohms)
}

// node is where the anode side of the diodes goes on range r; empty: there are
// none.
func (c Clamp) node(m *meter.Meter, r int) string {
	switch c.Across {
	case AcrossMovement:
		return meter.MovementTop
	case AcrossCoil:
		return meter.CoilTop
	case AcrossTerminals:
		return meter.Terminal
	case AcrossShunt:
		if len(m.Path(r).Across) > 0 {
			return meter.Tap
		}
	}
	return ""
}
