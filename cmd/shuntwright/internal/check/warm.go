package check

import (
	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// stateCold puts what was found at the temperature of the readings at that for
// which resistances are stated: there the parts are bought and measured.
func (k *Checkup) stateCold(warm meter.State) {
	cold := func(resistor int) float64 {
		if warm.Ohms[resistor] == k.state.Ohms[resistor] { // zero, open, or not warmer
			return 1
		}
		return k.state.Ohms[resistor] / warm.Ohms[resistor]
	}
	found := make([]*reading.Explanation, 0, len(k.found.Explanations)+1)
	for i := range k.found.Explanations {
		found = append(found, &k.found.Explanations[i])
	}
	if k.found.Suspect != nil {
		found = append(found, k.found.Suspect)
	}
	for _, e := range found {
		for i := range e.Amounts {
			if a := &e.Amounts[i]; a.Cause.Kind == reading.Resistance {
				factor := cold(a.Cause.Resistor)
				a.Implied, a.From, a.Limit = a.Implied*factor, a.From*factor, a.Limit*factor
			}
		}
		ohms := make([]float64, len(e.State.Ohms))
		for i, x := range e.State.Ohms {
			ohms[i] = x * cold(i)
		}
		e.State = meter.State{FullScaleAmperes: e.State.FullScaleAmperes, Ohms: ohms}
	}
}
