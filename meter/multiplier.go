package meter

import "shuntwright/meter/quantity"

// multiplier is a resistor of its own in series with the movement.
type multiplier struct{ ranges []Range }

func init() {
	Register(Kind{Name: "multiplier", Feeds: true, Units: []quantity.Unit{quantity.Volt}, Does: "each with a multiplier of its own", Example: "15 V,150 V",
		New: func(s Spec) (Circuit, error) { return multiplier{s.Ranges}, nil }})
}

func (multiplier) Kind() string      { return "multiplier" }
func (c multiplier) Ranges() []Range { return c.ranges }
func (multiplier) Path(int) Path     { return Path{Lead: []int{0}} }

func (c multiplier) Resistors() []Resistor {
	return []Resistor{position("multiplier "+c.ranges[0].Name, "")}
}

// Targets: R = V/Im − Rm (Lessons in Electric Circuits, DC, ch. 8 "Voltmeter
// design").
func (c multiplier) Targets(mv Movement) ([]float64, error) {
	r := c.ranges[0]
	ohms := r.FullScale/mv.FullScaleAmperes - mv.Ohms()
	if !(ohms > 0) {
		return nil, tooHigh(r, "multiplier "+r.Name, ohms)
	}
	return []float64{ohms}, nil
}
