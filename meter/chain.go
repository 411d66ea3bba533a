package meter

import "shuntwright/meter/quantity"

// chain is a string of multipliers in series with taps, from the smallest
// voltage up: section i lies between the tap of the range before and that of
// range i.
type chain struct{ ranges []Range }

func init() {
	Register(Kind{Name: "chain", Many: true, Feeds: true, Units: []quantity.Unit{quantity.Volt},
		Does: "on one tapped chain of multipliers, smallest first", Example: "3 V,30 V,300 V",
		New: func(s Spec) (Circuit, error) { return chain{s.Ranges}, nil }})
}

func (chain) Kind() string            { return "chain" }
func (c chain) Ranges() []Range       { return c.ranges }
func (c chain) Resistors() []Resistor { return sections("chain", c.ranges) }

// Path: the input goes to the tap of range r, the far end of its own section
// seen from the movement.
func (chain) Path(r int) Path { return Path{Lead: down(r + 1)} }

// Targets: the first section is V1/Im − Rm, each further one (Vk − Vk−1)/Im
// (Lessons in Electric Circuits, DC, ch. 8).
func (c chain) Targets(mv Movement) ([]float64, error) {
	if err := rising(c.ranges, "voltage"); err != nil {
		return nil, err
	}
	im := mv.FullScaleAmperes
	out := []float64{c.ranges[0].FullScale/im - mv.Ohms()}
	if !(out[0] > 0) {
		return nil, tooHigh(c.ranges[0], "chain "+c.ranges[0].Name, out[0])
	}
	for i := 1; i < len(c.ranges); i++ {
		out = append(out, (c.ranges[i].FullScale-c.ranges[i-1].FullScale)/im)
	}
	return out, nil
}
