package check

import (
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// changeTo is the command by which the meter file learns what a resistor is that
// it states: of the movement, or in the field of a circuit.
func (k *Checkup) changeTo(resistor int, value string) string {
	one := k.Meter.Resistors()[resistor]
	command := "shuntwright meter change " + report.InShell(k.Path) + " --"
	for _, c := range k.Meter.Circuits {
		if slices.ContainsFunc(c.Resistors(), func(r meter.Resistor) bool { return r.Name == one.Name }) {
			return command + c.Kind() + " " + report.InShell(c.Ranges()[0].Name+","+one.Field+"="+value)
		}
	}
	return command + one.Field + " " + report.InShell(value)
}

// likely is what a resistor is by the explanation that blames it, as a flag takes
// it; by the meter file where none does.
func (k *Checkup) likely(resistor int) string {
	for _, e := range k.found.Explanations {
		for _, a := range e.Amounts {
			if a.Cause.Kind == reading.Resistance && a.Cause.Resistor == resistor && !math.IsInf(a.Implied, 1) {
				return report.Spelled(a.Implied, impliedDigits(a))
			}
		}
	}
	return report.Spelled(k.state.Ohms[resistor], 4)
}

// First is the command that notes what is to be measured before anything else is
// done; empty where a further reading tells, or nothing is to be told apart.
func (k *Checkup) First() string {
	_, first := k.measureApart()
	return strings.Join(first[:min(1, len(first))], "")
}
