package main

import (
	"math"

	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// desensitizedKind is a circuit that the program does not have: a voltage range
// whose movement has a resistor across it, so that it takes half of the
// current. The session new-circuit.txtar drives it through the commands, none
// of which knows more of it than stands here.
var desensitizedKind = meter.Kind{Name: "desensitized", Units: []quantity.Unit{quantity.Volt}, Fields: []meter.Field{{Name: "contact", Unit: quantity.Ohm, Sign: quantity.NotNegative}},
	Does: "with a resistor across the movement", Example: "30 V",
	New: func(s meter.Spec) (meter.Circuit, error) { return desensitized{s.Ranges, s.Given["contact"]}, nil }}

type desensitized struct {
	ranges  []meter.Range
	contact float64
}

func (desensitized) Kind() string            { return "desensitized" }
func (c desensitized) Ranges() []meter.Range { return c.ranges }
func (desensitized) Path(int) meter.Path     { return meter.Path{Lead: []int{0}, Across: []int{1, 2}} }

func (c desensitized) Resistors() []meter.Resistor {
	name := c.ranges[0].Name
	return []meter.Resistor{{Name: "before " + name, Use: meter.Fitted, Ohms: math.NaN(), Key: "before"}, {Name: "beside " + name, Use: meter.Fitted, Ohms: math.NaN(), Key: "beside"},
		{Name: "contact of beside " + name, Use: meter.Contact, Ohms: c.contact}}
}

func (c desensitized) Targets(mv meter.Movement) ([]float64, error) {
	return []float64{c.ranges[0].FullScale/(2*mv.FullScaleAmperes) - mv.Ohms()/2, mv.Ohms() - c.contact}, nil
}
