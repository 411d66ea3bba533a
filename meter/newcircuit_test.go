package meter

import (
	"math"
	"testing"

	"shuntwright/meter/nodal"
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
	return []Resistor{position("desensitized "+c.ranges[0].Name, "series"), position("beside "+c.ranges[0].Name, "shunt")}
}

// Targets makes the movement take half of the current.
func (c desensitized) Targets(mv Movement) ([]float64, error) {
	return []float64{c.ranges[0].FullScale/(2*mv.FullScaleAmperes) - mv.Ohms()/2, mv.Ohms()}, nil
}

func TestOneFileIsOneCircuit(t *testing.T) {
	c, err := NewCircuit("desensitized", Spec{Ranges: []Range{{Name: "10 V", FullScale: 10, Unit: quantity.Volt, CircuitVolts: nan}}})
	if err != nil {
		t.Fatal(err)
	}
	m, err := New("new", NewMovement(1e-3, 100), nan, []Circuit{c})
	if err != nil {
		t.Fatal(err)
	}
	targets, err := m.Targets()
	if err != nil {
		t.Fatal(err)
	}
	if p := m.Predict(targets); math.Abs(p.WorstPercent) > 1e-12 {
		t.Errorf("on target: %+v", p)
	}
	ohms := []float64{4711, 77}
	st := m.State(ohms)
	net, elements := m.Netlist(st, 0)
	net.VoltSource(Terminal, nodal.Ground, 10)
	s, err := net.Solve()
	if err != nil {
		t.Fatal(err)
	}
	want := s.Through(elements[coilIndex])
	p := m.Predict(ohms)
	if math.Abs(p.Ranges[0].MovementAmperes/want-1) > 1e-12 || math.Abs(p.Positions[1].Amperes/s.Through(elements[3])-1) > 1e-12 {
		t.Errorf("%+v, nodal %v A", p, want)
	}
	slopes, err := s.Slopes(elements[coilIndex])
	if err != nil {
		t.Fatal(err)
	}
	resp := m.Response([]int{0, 1}, ohms)
	for i, got := range m.Sensitivities(st)[0] {
		if math.Abs(got.PerOhm-100*slopes[elements[i]]/want) > 1e-10 {
			t.Errorf("%s: %+v, adjoint %v", m.resistors[i].Name, got, 100*slopes[elements[i]]/want)
		}
		if i >= ownResistors && float64(resp.Rising(0, i-ownResistors))*got.PerOhm <= 0 {
			t.Errorf("%s: rising %d, slope %v", m.resistors[i].Name, resp.Rising(0, i-ownResistors), got.PerOhm)
		}
	}
	if flat := m.Flow(st.With(3, 0), 0, 10); flat.Movement != 0 || math.Abs(flat.Across*4711/10-1) > 1e-12 {
		t.Errorf("with a short across the movement: %+v", flat)
	}
}
