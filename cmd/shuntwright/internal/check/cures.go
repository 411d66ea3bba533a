package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// offTargetWords says which positions the meter file itself has off, beside what
// the readings blame.
func (k *Checkup) offTargetWords(all []hypothesis) []string {
	var named []string
	for _, c := range all[:min(1, len(all))] {
		for _, p := range c.suspects {
			if !p.byReadings() {
				named = append(named, fmt.Sprintf("%s (%s, and should be %s)", p.name, quantity.Format(p.now, quantity.Ohm, 4), quantity.Format(p.from, quantity.Ohm, 4)))
			}
		}
	}
	switch {
	case len(named) > 0 && k.found.AsPredicted:
		return []string{"the readings agree with what the meter file predicts: what it says is fitted is itself off, at " + strings.Join(named, ", ")}
	case len(named) > 0:
		return []string{"off by the meter file itself: " + strings.Join(named, ", ")}
	case k.found.AsPredicted && k.coldWords() != nil:
		return k.coldWords()
	case k.found.AsPredicted:
		return []string{"the readings agree with what the meter file predicts, and no position is far enough off its target to be what is wrong: the class asks for more than this meter gives, or for surer readings"}
	}
	return nil
}

// restWords name the ranges outside the class that stay there with all put right that
// is to blame, and those that only the temperature of the readings brings there;
// nothing where nothing is to blame.
func (k *Checkup) restWords(all []hypothesis) []string {
	e, sound := k.likeliest()
	if len(all) == 0 && !sound {
		return nil
	}
	right := k.state
	if len(all) > 0 {
		for _, p := range all[0].suspects {
			right = right.With(p.resistor, p.from)
		}
	}
	stated, warm := k.Meter.PredictState(k.state).Ranges, k.Meter.PredictState(k.AtTemperature(k.state, k.celsius)).Ranges
	var left, warmed []string
	for _, j := range k.with(reading.Fail) {
		if slices.Contains(e.Unexplained, j.Range) {
			continue // the notes say so
		}
		at, then := k.set.Readings[j.Points[j.Worst].Reading], reading.Explanation{State: right}
		moved := e.Indicated(k.Meter, j.Range, at.Reference, at.Direction) - then.Indicated(k.Meter, j.Range, at.Reference, at.Direction)
		off := j.ErrorPercent - 100*moved/k.Ranges[j.Range].FullScale
		switch warmth := warm[j.Range].ErrorPercent - stated[j.Range].ErrorPercent; {
		case !(math.Abs(off) > k.Class):
		case math.Abs(off-warmth) <= k.Class:
			warmed = append(warmed, k.Ranges[j.Range].Name)
		default:
			left = append(left, k.Ranges[j.Range].Name)
		}
	}
	var out []string
	if warmed != nil {
		out = append(out, fmt.Sprintf("%s: %g °C, at which it was read, does that; read it again at %g °C", report.List(warmed), k.celsius, k.Meter.Movement.ReferenceCelsius))
	}
	if left != nil {
		out = append(out, fmt.Sprintf("not explained by that: %s, and within what its figures in the files are trusted to: measure its parts more closely", report.List(left)))
	}
	return out
}

// tellApart tells that something else is wanted before anything is done: the
// readings cannot tell what they blame from something else that costs something
// too.
func (k *Checkup) tellApart() bool {
	return k.found.Next != nil && slices.ContainsFunc(k.found.Explanations[0].Amounts, func(a reading.Amount) bool { return len(a.SameAs) > 0 }) ||
		len(k.toMeasure()) > 0
}

// oneOfSeveral tells a cause for which the readings would have another as well.
func (k *Checkup) oneOfSeveral(name string) bool {
	return slices.ContainsFunc(k.found.Explanations[0].Amounts, func(a reading.Amount) bool { return a.Cause.Name == name && len(a.SameAs) > 0 })
}

// toMeasure are the resistors, by index, of which the readings blame one and
// cannot tell which, where no further reading tells either but an ohmmeter does.
func (k *Checkup) toMeasure() []int {
	if k.found.Next != nil || len(k.found.Explanations) == 0 || !k.found.Explanations[0].Sound() {
		return nil
	}
	var out []int
	for _, a := range k.found.Explanations[0].Amounts {
		var one []int
		for i, r := range k.Meter.Resistors() {
			if r.Use != meter.Coil && r.Use != meter.Contact && (r.Name == a.Cause.Name || slices.Contains(a.SameAs, r.Name)) {
				one = append(one, i)
			}
		}
		if len(one) > 1 {
			out = append(out, one...)
		}
	}
	return out
}

// measureApart says to measure what no reading tells apart, and gives the commands
// that note it.
func (k *Checkup) measureApart() (said, first []string) {
	var names, low, commands, others []string
	for _, i := range k.toMeasure() {
		name := k.Meter.Resistors()[i].Name
		names = append(names, name)
		if k.state.Ohms[i] < reading.LowOhms {
			low = append(low, name)
		}
		at := slices.IndexFunc(k.Positions, func(p meter.Position) bool { return p.Resistor == i })
		if at < 0 {
			others = append(others, k.changeTo(i, k.likely(i)))
			continue
		}
		for _, id := range k.Networks[at].IDs() {
			commands = append(commands, "shuntwright drawer remeasure "+id)
		}
	}
	if names == nil {
		return nil, nil
	}
	text := fmt.Sprintf("no reading tells them apart: first measure %s, each with one end lifted", report.List(names))
	if low != nil {
		text += fmt.Sprintf(", %s by %s", report.List(low), reading.ByVolts)
	}
	said = []string{text}
	if others != nil {
		said = append(said, "then note what it is, in place of what the readings say:\n  "+strings.Join(others, "\n  "))
	}
	if commands != nil {
		said = append(said, "then type what it is:\n  "+strings.Join(commands, "\n  "))
	}
	return said, append(others, commands...)
}

// free tells a cause that costs nothing to rule out.
func (k *Checkup) free(c reading.Cause) bool {
	return c.Kind == reading.Zero || c.Kind == reading.Friction ||
		c.Kind == reading.Resistance && k.Meter.Resistors()[c.Resistor].Use == meter.Contact
}

// allCures says what to do about the first explanation, as far as no resistor
// mends it, and about those that cannot be told from it and cost nothing to try.
// Where they are to be told apart first, what costs something comes later.
func (k *Checkup) allCures() (out, later []string) {
	first := k.found.Explanations[0]
	if out = k.cures(first.Amounts); k.tellApart() && !k.free(first.Amounts[0].Cause) {
		out, later = nil, out
	}
	for _, e := range k.found.Explanations[1:] {
		others := instead(e, first)
		if len(e.Amounts) != len(first.Amounts) || len(others) != 1 {
			continue
		}
		if cause := others[0].Cause; k.free(cause) && slices.Contains(instead(first, e)[0].SameAs, cause.Name) {
			out = append(out, "before anything is soldered, rule out "+cause.Name+": "+strings.Join(k.cures(others), ", "))
		}
	}
	return out, later
}

// cures says what to do about causes that no resistor of the drawer mends.
func (k *Checkup) cures(amounts []reading.Amount) []string {
	var out []string
	resistors := k.Meter.Resistors()
	for _, a := range amounts {
		_, warm := k.coilAt(a)
		switch {
		case warm && math.IsNaN(k.celsius): // first the temperature
		case a.Cause.Kind == reading.Zero:
			out = append(out, "set the pointer to zero with its screw, nothing connected, and read again")
		case a.Cause.Kind == reading.Friction:
			out = append(out, "friction in the movement: tap the glass before each reading; if that helps, the pivots or the air gap want cleaning")
		case a.Cause.Kind == reading.FullScale && math.IsInf(a.Implied, 1):
			out = append(out, "no part mends a movement that is stuck")
		case a.Cause.Kind == reading.FullScale:
			out = append(out, k.noted("the movement: measure it", "full-scale", quantity.Format(a.Implied, quantity.Ampere, 4))...)
		case resistors[a.Cause.Resistor].Use == meter.Coil && math.IsInf(a.Implied, 1):
			out = append(out, "the coil or its springs are open: no resistor mends that")
		case resistors[a.Cause.Resistor].Use == meter.Coil:
			out = append(out, k.noted("the coil: measure it (never with an ohmmeter straight across it)", "coil", report.Spelled(a.Implied, impliedDigits(a)))...)
		case resistors[a.Cause.Resistor].Use == meter.Contact:
			out = append(out, "clean the contacts of switch and leads in "+strings.TrimPrefix(a.Cause.Name, "contact of ")+", and read again")
		}
	}
	return out
}

// noted says how the meter file learns what the movement is, and how the positions
// are then made anew.
func (k *Checkup) noted(what, flag, value string) []string {
	class := ""
	if math.IsNaN(k.Meter.Class) && !math.IsNaN(k.Class) {
		class = " --class " + report.Exact(k.Class)
	}
	path := report.InShell(k.Path)
	return []string{"no part mends " + what, "if that agrees, note it:\n  shuntwright meter change " + path + " --" + flag + " " + report.InShell(value),
		"then empty positions with shuntwright unfit, or see what to add or to replace:\n  shuntwright plan " + path + " --trim" + class}
}

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
