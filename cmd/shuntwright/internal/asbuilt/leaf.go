package asbuilt

import (
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// Leaf is what is known of one resistor of a network.
type Leaf struct {
	Name     string
	Measured inventory.Measured
}

// Unlisted is a resistance that is not in the drawer, as a part.
func Unlisted(ohms quantity.Value, instrument string) inventory.Part {
	p := inventory.NewPart(ohms)
	p.Instrument = instrument
	return p
}

// Values are the leaves' resistances in ohms.
func Values(leaves []Leaf) []float64 {
	out := make([]float64, len(leaves))
	for i, l := range leaves {
		out[i] = l.Measured.Ohms
	}
	return out
}

// Input tells the budget of a result how far a resistor moves it, slope being the
// change of the result per ohm.
func (l Leaf) Input(slope float64) budget.Input {
	m := l.Measured
	return budget.Input{Name: l.Name, Value: m.Ohms, Slope: slope, GainPercent: m.GainPercent, Shared: m.Shared, Floor: m.FloorOhms}
}

// Inputs are those of every leaf of a network, slope being the change of the
// result per ohm of the network.
func Inputs(n wiring.Network, leaves []Leaf, slope float64) []budget.Input {
	slopes := n.Slopes(Values(leaves))
	out := make([]budget.Input, len(leaves))
	for i, l := range leaves {
		out[i] = l.Input(slope * slopes[i])
	}
	return out
}

// ValueLimit is the 95 % limit of a network's value, in percent of it.
func ValueLimit(n wiring.Network, leaves []Leaf) budget.Result {
	perCent := 100 / n.Resistance(Values(leaves))
	return budget.Combine(budget.Sources(Inputs(n, leaves, perCent)))
}

// KeptNetwork is the resistance of what stays, in ohms, and the largest current
// that it may carry, in amperes: the least that any part of it allows, +Inf
// where none is rated; derate is the share of the rated watts that may be used.
func (s *Setup) KeptNetwork(n wiring.Network, derate float64) (keep, mayCarry float64, err error) {
	found, err := s.Bench.Resistors(n, s.Meter.Movement.Instrument)
	if err != nil {
		return 0, 0, err
	}
	values := Values(found)
	amperes, _ := n.Shares(values)
	mayCarry = math.Inf(1)
	for i, l := range n.Leaves() {
		if l.ID != "" {
			mayCarry = min(mayCarry, Bears(s.Parts[s.Index[l.ID]], values[i], derate)/amperes[i])
		}
	}
	return n.Resistance(values), mayCarry, nil
}

// Used are the measurements that what is fitted, and what the file states, rest
// on.
func (s *Setup) Used() []inventory.Measured {
	var out []inventory.Measured
	for _, l := range slices.Concat(s.Leaves...) {
		out = append(out, l.Measured)
	}
	for _, one := range s.Stated {
		out = append(out, one.Measured)
	}
	return out
}

// Tempcos are what is known of every resistance's temperature coefficient: the
// coil is copper, the parts have what the drawer says, by their shares of the
// network that they sit in. unknown are parts, and resistances that the meter file
// states, of which nothing is said.
func (s *Setup) Tempcos() (out []meter.Tempco, unknown []string) {
	out = s.Meter.Tempcos()
	resistors := s.Meter.Resistors()
	for _, one := range s.Stated {
		if resistors[one.Resistor].Use != meter.Contact && one.Measured.Ohms > 0 {
			unknown = append(unknown, one.Name)
		}
	}
	for i, p := range s.Positions {
		if s.IsOpen(i) {
			continue
		}
		values := Values(s.Leaves[i])
		whole, slopes := s.Networks[i].Resistance(values), s.Networks[i].Slopes(values)
		for k, l := range s.Networks[i].Leaves() {
			share := slopes[k] * values[k] / whole
			at, known := s.Index[l.ID]
			switch {
			case l.ID == "" || !known || math.IsNaN(s.Parts[at].TempcoPPM):
				unknown = append(unknown, s.Leaves[i][k].Name)
			case s.Parts[at].TempcoSigned:
				out[p.Resistor].PPM += share * s.Parts[at].TempcoPPM
			default:
				out[p.Resistor].LimitPPM += share * s.Parts[at].TempcoPPM
			}
		}
	}
	return out, report.Unique(unknown)
}

// AtTemperature is a state of the meter at a temperature in °C, with the
// coefficients of Tempcos; as it is where celsius is NaN.
func (s *Setup) AtTemperature(state meter.State, celsius float64) meter.State {
	if math.IsNaN(celsius) {
		return state
	}
	coefficients, _ := s.Tempcos()
	return s.Meter.AtTemperature(state, celsius, coefficients)
}
