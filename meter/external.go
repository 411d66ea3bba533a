package meter

import (
	"errors"
	"fmt"
	"math"

	"shuntwright/meter/quantity"
)

// external is a shunt that stays in the circuit's lead, with the movement
// switched across it through a series resistor. Of the two one is given and the
// other a position, or the voltage across the shunt at full scale is given and
// both are positions.
type external struct {
	ranges []Range
	given  map[string]float64 // exactly one of shunt, series (ohms) and drop (volts)
}

func init() {
	Register(Kind{Name: "external-shunt", Units: []quantity.Unit{quantity.Ampere}, Needs: "shunt=OHMS",
		Does: "with a shunt left in the lead (or series=OHMS, or drop=VOLTS)", Example: "plate 200 mA,shunt=0.5 ohm",
		Fields: []Field{{"shunt", quantity.Ohm, quantity.Positive}, {"series", quantity.Ohm, quantity.NotNegative}, {"drop", quantity.Volt, quantity.Positive}},
		New:    newExternal})
}

func newExternal(s Spec) (Circuit, error) {
	if len(s.Given) != 1 {
		return nil, errors.New("an external-shunt circuit needs exactly one of shunt, series and drop")
	}
	return external{s.Ranges, s.Given}, nil
}

func (external) Kind() string      { return "external-shunt" }
func (c external) Ranges() []Range { return c.ranges }
func (external) Path(int) Path     { return Path{Across: []int{0}, Branch: []int{1}} }

func (c external) Resistors() []Resistor {
	key := map[string]string{}
	if _, byDrop := c.given["drop"]; byDrop {
		key = map[string]string{"shunt": "shunt", "series": "series"}
	}
	one := func(field, name string) Resistor {
		if ohms, ok := c.given[field]; ok {
			return Resistor{Name: name, Use: Given, Ohms: ohms, Field: field}
		}
		return position(name, key[field])
	}
	text := c.ranges[0].Name
	return []Resistor{one("shunt", "external shunt "+text), one("series", "series "+text)}
}

// Targets: the shunt carries I − Im and drops what the movement's branch drops
// at Im, so series = shunt·(I − Im)/Im − Rm and shunt = Im·(Rm + series)/(I −
// Im). The movement's current is not neglected beside the shunt's.
func (c external) Targets(mv Movement) ([]float64, error) {
	r, im, rm := c.ranges[0], mv.FullScaleAmperes, mv.Ohms()
	if r.FullScale <= im {
		return nil, tooSmall(r, mv, "a shunt in the lead")
	}
	rest := r.FullScale - im
	if series, ok := c.given["series"]; ok {
		return []float64{im * (rm + series) / rest}, nil
	}
	var series float64
	drop, byDrop := c.given["drop"]
	if byDrop {
		series = drop/im - rm
	} else {
		series = c.given["shunt"]*rest/im - rm
	}
	if !(series > 0) {
		return nil, c.tooLittle(mv, series)
	}
	if byDrop {
		return []float64{drop / rest, series}, nil
	}
	return []float64{series}, nil
}

// tooLittle is the refusal of a shunt, or a drop, across which the movement alone
// takes less than its last mark: it says what would do. The movement needs
// Im·Rm, of which the shunt has (I − Im) times its own resistance.
func (c external) tooLittle(mv Movement, series float64) error {
	r, im := c.ranges[0], mv.FullScaleAmperes
	refused := tooHigh(r, "series "+r.Name, series)
	needs := im * mv.Ohms()
	shunt, field := c.given["shunt"], "shunt"
	if shunt > 0 {
		refused.Why += fmt.Sprintf("; a shunt of more than %s would do, or a range of more than %s",
			roundedUp(needs/(r.FullScale-im), quantity.Ohm), roundedUp(needs/shunt+im, quantity.Ampere))
	} else {
		shunt, field = c.given["drop"]/(r.FullScale-im), "drop"
		refused.Why += fmt.Sprintf("; a drop of more than %s would do", roundedUp(needs, quantity.Volt))
	}
	if low := 1 - shunt*r.FullScale/(shunt+mv.Ohms())/im; low < mostLow {
		refused.Why += fmt.Sprintf("; with nothing in series it reads %.2g %% low: write series=0 in place of %s, and fit the shunt of %s",
			100*low, field, quantity.Format(shunt, quantity.Ohm, 4))
	}
	return refused
}

// mostLow is how far a range may read low for its shunt to be taken as it is: the
// largest class of IEC 60051.
const mostLow = 0.05

// roundedUp writes what is positive with four digits, and no smaller than it is.
func roundedUp(x float64, unit quantity.Unit) string {
	const rounding = 1e-12
	step := math.Pow(10, math.Floor(math.Log10(x))-3)
	return quantity.Format(math.Ceil(x/step*(1-rounding))*step, unit, 4)
}
