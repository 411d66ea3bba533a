package meter

import "shuntwright/meter/quantity"

// shunt is a resistor of its own across the movement, with the contact
// resistance of switch and leads in series with it.
type shunt struct {
	ranges  []Range
	contact float64
}

func init() {
	Register(Kind{Name: "shunt", Units: []quantity.Unit{quantity.Ampere}, Does: "each with a shunt of its own", Example: "5 mA,grid 50 mA",
		Fields: []Field{{"contact", quantity.Ohm, quantity.NotNegative}},
		New:    func(s Spec) (Circuit, error) { return shunt{s.Ranges, s.Given["contact"]}, nil }})
}

func (shunt) Kind() string      { return "shunt" }
func (c shunt) Ranges() []Range { return c.ranges }
func (c shunt) Path(int) Path   { return Path{Across: []int{0, 1}} }

func (c shunt) Resistors() []Resistor {
	name := "shunt " + c.ranges[0].Name
	return []Resistor{position(name, ""), {Name: "contact of " + name, Use: Contact, Ohms: c.contact, Field: "contact"}}
}

// Targets: R = Im·Rm/(I − Im) less the contact resistance (Lessons in Electric
// Circuits, DC, ch. 8 "Ammeter design").
func (c shunt) Targets(mv Movement) ([]float64, error) {
	r := c.ranges[0]
	if r.FullScale <= mv.FullScaleAmperes {
		return nil, tooSmall(r, mv, "a shunt")
	}
	ohms := mv.FullScaleAmperes*mv.Ohms()/(r.FullScale-mv.FullScaleAmperes) - c.contact
	if !(ohms > 0) {
		return nil, &CannotServe{r.Name, "the contact resistance alone is more than the shunt may be"}
	}
	return []float64{ohms}, nil
}
