// Package meter is the electrical side of a multi-range d.c. meter: the
// movement, the circuits that make ranges out of it, what every position must
// be, how far every range is off with what is fitted, how that moves with each
// resistance and with temperature, and what a range does to the circuit under
// test. It knows neither where resistances come from nor how they are chosen.
//
// The pointer is linear in the movement's current, and all circuits are
// resistors, so the error at a fraction of full scale is that fraction of the
// full-scale error, as a percentage of full scale.
package meter

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/meter/quantity"
)

var nan = math.NaN()

// Meter is a movement with its circuits. New makes one; Movement, Name and
// Class may be changed afterwards, Circuits may not.
type Meter struct {
	Name     string
	Movement Movement
	Class    float64 // accuracy class as in IEC 60051, percent; NaN: none
	Circuits []Circuit

	ranges    []Range
	positions []Position
	resistors []Resistor
	paths     []Path // by range, indexes into resistors
	taps      []int  // by circuit: the range whose tap it feeds instead of the movement, -1 for none
}

// Position is a place that one network fills.
type Position struct {
	Name         string // "shunt grid 50 mA"
	Circuit      int    // index into Meter.Circuits
	Resistor     int    // index into Meter.Resistors
	Key          string // which network of the circuit it is: a range, "shunt" or "series"; empty where there is only one
	CircuitVolts float64
}

// The first resistors of every meter, before those of its circuits.
const (
	coilIndex = iota
	swampIndex
	ownResistors
)

// New joins a movement and its circuits into a meter. It refuses a movement
// without current or coil, a meter without circuits, and two ranges of the same
// name; spaces before a unit do not count. A circuit that feeds a tap which no
// ring has is a *NoRing. class is in percent, NaN for none.
func New(name string, mv Movement, class float64, circuits []Circuit) (*Meter, error) {
	if err := mv.check(); err != nil {
		return nil, err
	}
	if len(circuits) == 0 {
		return nil, fmt.Errorf("meter %q has no circuits; it needs at least one", name)
	}
	m := &Meter{Name: name, Movement: mv, Class: class, Circuits: slices.Clone(circuits)}
	m.resistors = []Resistor{{Name: "coil", Use: Coil, Ohms: nan}, {Name: "swamp", Use: Swamp, Ohms: nan, Field: "swamp"}}
	for i, c := range m.Circuits {
		m.add(i, c)
	}
	for i, r := range m.ranges {
		if at, _ := m.FindRange(r.Name); at != i {
			return nil, fmt.Errorf("range %q stands twice; give one of them a word of its own, such as %q", r.Name, "grid "+r.Name)
		}
	}
	return m, m.joinRings()
}

// add takes up the ranges and resistors of circuit i.
func (m *Meter) add(i int, c Circuit) {
	base, volts := len(m.resistors), c.Ranges()[0].CircuitVolts
	for j, r := range c.Resistors() {
		if r.Use == Fitted {
			m.positions = append(m.positions, Position{r.Name, i, base + j, r.Key, volts})
		}
		m.resistors = append(m.resistors, r)
	}
	moved := func(list []int) []int {
		out := make([]int, len(list))
		for k, at := range list {
			out[k] = base + at
		}
		return out
	}
	for j, r := range c.Ranges() {
		r.Circuit = i
		p := c.Path(j)
		m.ranges = append(m.ranges, r)
		m.paths = append(m.paths, Path{moved(p.Lead), moved(p.Across), append(moved(p.Branch), swampIndex, coilIndex)})
	}
}

// Ranges lists the settings of the switch in the meter's order.
func (m *Meter) Ranges() []Range { return slices.Clone(m.ranges) }

// Positions lists the places that networks fill, in the meter's order.
func (m *Meter) Positions() []Position { return slices.Clone(m.positions) }

// Resistors lists every resistance of the meter: coil, swamp, then those of the
// circuits in order. Coil and swamp have NaN ohms here, theirs stand in
// Movement, and so have positions.
func (m *Meter) Resistors() []Resistor { return slices.Clone(m.resistors) }

// Path says which resistors carry what on range r, by their index in Resistors;
// Branch ends with swamp and coil.
func (m *Meter) Path(r int) Path {
	p := m.paths[r]
	return Path{slices.Clone(p.Lead), slices.Clone(p.Across), slices.Clone(p.Branch)}
}

// FindRange returns the index of the range of that name in Ranges, and whether
// there is one. Names compare as in SameName.
func (m *Meter) FindRange(name string) (int, bool) {
	i := slices.IndexFunc(m.ranges, func(r Range) bool { return SameName(r.Name, name) })
	return i, i >= 0
}

// FindPosition returns the index of the position of that name in Positions, and
// whether there is one.
func (m *Meter) FindPosition(name string) (int, bool) {
	i := slices.IndexFunc(m.positions, func(p Position) bool { return SameName(p.Name, name) })
	return i, i >= 0
}

// rangesOf lists the ranges, by index, on which a position carries current.
func (m *Meter) rangesOf(position int) []int {
	var out []int
	for r, p := range m.paths {
		if k := m.positions[position].Resistor; slices.Contains(p.Lead, k) || slices.Contains(p.Across, k) || slices.Contains(p.Branch, k) {
			out = append(out, r)
		}
	}
	return out
}

// Targets gives the ohms that every position must have, all others on their
// targets, for every range to read true. The error is a *CannotServe, of the
// first range that the movement cannot serve.
func (m *Meter) Targets() ([]float64, error) {
	var out []float64
	for i := range m.Circuits {
		t, err := m.targetsOf(i)
		if err != nil {
			return nil, err
		}
		out = append(out, t...)
	}
	return out, nil
}

// targetsOrNaN gives the targets with NaN for all positions of a circuit that
// the movement cannot serve.
func (m *Meter) targetsOrNaN() []float64 {
	var out []float64
	for i := range m.Circuits {
		t, err := m.targetsOf(i)
		if err != nil {
			t = slices.Repeat([]float64{nan}, m.count(i))
		}
		out = append(out, t...)
	}
	return out
}

// count is the number of positions of a circuit.
func (m *Meter) count(circuit int) int {
	n := 0
	for _, p := range m.positions {
		if p.Circuit == circuit {
			n++
		}
	}
	return n
}

// voltage reports whether range r is a voltage range.
func (m *Meter) voltage(r int) bool { return m.ranges[r].Unit == quantity.Volt }
