package meter

import (
	"math"
	"testing"

	"shuntwright/meter/quantity"
)

// desensitized is a circuit that the package does not have: a resistor across
// the movement, and a multiplier before both. All that the package knows of a
// circuit is what this file says of it, so it tests that one file is enough for
// one.
type desensitized struct{ ranges []Range }

func init() {
	Register(Kind{Name: "desensitized", Units: []quantity.Unit{quantity.Volt}, Fields: []Field{{"shunt", quantity.Ohm, quantity.Positive}},
		New: func(s Spec) (Circuit, error) { return desensitized{s.Ranges}, nil }})
}

func (desensitized) Kind() string      { return "desensitized" }
func (c desensitized) Ranges() []Range { return c.ranges }
func (desensitized) Path(int) Path     { return Path{Lead: []int{0}, Across: []int{1}} }

func (c desensitized) Resistors() []Resistor {
	return []Resistor{position("desensitized "+c.ranges[0].Name, "before"), position("beside "+c.ranges[0].Name, "beside")}
}

// Targets makes the movement take half of the current.
func (c desensitized) Targets(mv Movement) ([]float64, error) {
	return []float64{c.ranges[0].FullScale/(2*mv.FullScaleAmperes) - mv.Ohms()/2, mv.Ohms()}, nil
}

// A short across the movement takes it all; the rest is held by random meters.
func TestOneFileIsOneCircuit(t *testing.T) {
	c, err := NewCircuit("desensitized", Spec{Ranges: []Range{{Name: "10 V", FullScale: 10, Unit: quantity.Volt, CircuitVolts: nan}}})
	if err != nil {
		t.Fatal(err)
	}
	m, err := New("new", NewMovement(1e-3, 100), nan, []Circuit{c})
	if err != nil {
		t.Fatal(err)
	}
	if flat := m.Flow(m.State([]float64{4711, 0}), 0, 10); flat.Movement != 0 || math.Abs(flat.Across*4711/10-1) > 1e-12 {
		t.Errorf("%+v", flat)
	}
}
