package asbuilt

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
)

// Stated is a resistance that the meter file gives, such as a shunt that stays
// in the lead, and how far it is trusted.
type Stated struct {
	Resistor int // of the meter
	Leaf
	Nobody bool // no one said how far: the limit is what is assumed
}

// measureStated works out how sure the resistances are that the file states:
// by a limit or an instrument of their own, else like a reading without an
// instrument, and a contact by all of itself. All count as they stand, so leads
// are not subtracted.
func (s *Setup) measureStated() error {
	resistors := s.Meter.Resistors()
	for _, one := range s.File.Stated {
		r := resistors[one.Resistor]
		said := Stated{Resistor: one.Resistor, Nobody: math.IsNaN(one.LimitPercent) && one.Instrument == ""}
		m := inventory.Measured{}
		switch {
		case !math.IsNaN(one.LimitPercent):
			m.GainPercent = one.LimitPercent
		case said.Nobody && r.Use == meter.Contact:
			m.FloorOhms = one.Value.Base
		default:
			var err error
			if m, err = s.Instruments.AsItStands(Unlisted(one.Value, one.Instrument)); err != nil {
				return fmt.Errorf("%s:%v: %s: %w", s.Path, one.Place, r.Name, err)
			}
			switch {
			case said.Nobody: // nobody says that it was read at all
				m.TwoWires = nil
			case m.TwoWires != nil:
				m.TwoWires.Of = r.Name
			}
		}
		m.Ohms = one.Value.Base
		said.Leaf = Leaf{r.Name, m}
		s.Stated = append(s.Stated, said)
	}
	return nil
}

// PassRestsOn names the resistances of unknown limit without whose assumed
// limit a range that passes would not: were one of them sure to no more than
// all of itself, error and limit together would leave the class.
func (s *Setup) PassRestsOn(by Slopes, p meter.RangePrediction, class float64) []string {
	var names []string
	inputs := s.RangeInputs(by)
	if Verdict(p, budget.Combine(budget.Sources(inputs)), class) != "pass" {
		return nil
	}
	for _, one := range s.Stated {
		unknown := slices.Clone(inputs)
		for i := range unknown {
			if one.Nobody && unknown[i].Name == one.Name {
				unknown[i].GainPercent, unknown[i].Shared, unknown[i].Floor = 0, "", one.Measured.Ohms
			}
		}
		if Verdict(p, budget.Combine(budget.Sources(unknown)), class) != "pass" {
			names = append(names, one.Name)
		}
	}
	return names
}

// statedWords say what is assumed of resistances whose limit nobody states.
func (s *Setup) statedWords() []string {
	var given, contacts []string
	for _, one := range s.Stated {
		name := fmt.Sprintf("%s (%s)", one.Name, quantity.Format(one.Measured.Ohms, quantity.Ohm, 4))
		switch {
		case one.Nobody && s.Meter.Resistors()[one.Resistor].Use == meter.Contact:
			contacts = append(contacts, name)
		case one.Nobody:
			given = append(given, name)
		}
	}
	var out []string
	if len(given) > 0 {
		out = append(out, "given without a limit, trusted like a reading: "+report.Few(given, 2))
	}
	if len(contacts) > 0 {
		out = append(out, "given without a limit, uncertain by all of itself: "+report.Few(contacts, 2))
	}
	return out
}
