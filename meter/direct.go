package meter

import "shuntwright/meter/quantity"

// direct is the bare movement: its own current, or the voltage across coil and
// swamping resistor.
type direct struct{ ranges []Range }

func init() {
	Register(Kind{Name: "direct", Units: []quantity.Unit{quantity.Ampere, quantity.Volt}, Does: "of the bare movement", Example: "1 mA",
		New: func(s Spec) (Circuit, error) { return direct{s.Ranges}, nil }})
}

func (direct) Kind() string                        { return "direct" }
func (c direct) Ranges() []Range                   { return c.ranges }
func (direct) Resistors() []Resistor               { return nil }
func (direct) Path(int) Path                       { return Path{} }
func (direct) Targets(Movement) ([]float64, error) { return nil, nil }
