package check

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
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

// coldest and warmest are where a meter may have been read, in °C: an unheated
// shed in winter, and a set that has played for hours (common practice).
const coldest, warmest = -10, 45

// coolest and hottest are where a coil may have been measured on a bench, in °C
// (common practice).
const coolest, hottest = 10, 35

// coilAt is the temperature, in °C, at which the copper of the coil has what the
// readings say of it; false where nobody reads a meter, or it is no coil.
func (k *Checkup) coilAt(a reading.Amount) (float64, bool) {
	if a.Cause.Kind != reading.Resistance || k.Meter.Resistors()[a.Cause.Resistor].Use != meter.Coil {
		return 0, false
	}
	stated := k.Meter.Movement.ReferenceCelsius
	read, perKelvin := stated, meter.CopperAt(stated)
	if !math.IsNaN(k.celsius) {
		read = k.celsius
	}
	celsius := stated + (a.Implied/a.From*(1+perKelvin*(read-stated))-1)/perKelvin
	return math.Round(celsius), celsius >= coldest && celsius <= warmest
}

// warmth is what the readings say of the coil, where they blame it, or it as well
// as something else, and a temperature would do that.
func (k *Checkup) warmth() (a reading.Amount, celsius float64, is bool) {
	for _, e := range k.found.Explanations {
		for _, a := range e.Amounts {
			blamed := slices.ContainsFunc(k.found.Explanations[0].Amounts, func(b reading.Amount) bool {
				return b.Cause == a.Cause || len(e.Amounts) == len(k.found.Explanations[0].Amounts) && slices.Contains(b.SameAs, a.Cause.Name)
			})
			if celsius, is := k.coilAt(a); is && blamed && e.Sound() {
				return a, celsius, true
			}
		}
	}
	return reading.Amount{}, 0, false
}

// warmthWords say what temperature that is, before anything is done about the coil.
func (k *Checkup) warmthWords() []string {
	a, celsius, is := k.warmth()
	stated := k.Meter.Movement.ReferenceCelsius
	switch {
	case !is:
		return nil
	case math.IsNaN(k.celsius):
		return []string{fmt.Sprintf("the coil's copper (0.393 %%/K) does that at about %g °C, and is not to blame then: how warm was it? --temperature reckons with it, %gC too", celsius, stated)}
	}
	measured := math.Round(stated + (a.From/a.Implied-1)/meter.CopperAt(stated))
	said := fmt.Sprintf("the coil's copper (0.393 %%/K) does that at about %g °C in place of %g °C", celsius, k.celsius)
	if measured < coolest || measured > hottest {
		return []string{said}
	}
	return []string{fmt.Sprintf("%s, or where it was measured at about %g °C and not at %g °C", said, measured, stated),
		fmt.Sprintf("if it was:\n  shuntwright meter change %s --coil-temperature %gC", report.InShell(k.Path), measured)}
}

// coldWords say that the meter reads what its file has it read at the temperature
// of the readings, and would pass at that for which it is made; nothing where it
// does not, or the temperature is not known.
func (k *Checkup) coldWords() []string {
	if math.IsNaN(k.celsius) || math.IsNaN(k.Class) {
		return nil
	}
	for r, one := range k.Meter.PredictState(k.state).Ranges {
		if math.Abs(one.ErrorPercent) > k.Class && slices.ContainsFunc(k.judged.Ranges, func(j reading.RangeJudgement) bool { return j.Range == r }) {
			return nil
		}
	}
	return []string{fmt.Sprintf("the readings agree with what the meter file predicts at %g °C, and by it the meter is within the class at %g °C: nothing is faulty; read it again there", k.celsius, k.Meter.Movement.ReferenceCelsius)}
}
