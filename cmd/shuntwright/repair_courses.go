package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/bench"
	"shuntwright/cmd/shuntwright/internal/figures"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// courses are the ways to see what is wrong, the likeliest first: the first
// explanation, and those that the readings cannot tell from it, as far as
// there is a resistor in them. Where the readings agree with the meter file,
// it is the file itself that says what is off.
func (k *checked) courses() []course {
	if k.found.AsPredicted {
		return k.offTarget()
	}
	if len(k.found.Explanations) == 0 || !k.found.Explanations[0].Explains {
		return nil
	}
	first := k.found.Explanations[0]
	out := []course{{first, k.patients(first)}}
	for _, e := range k.found.Explanations[1:] {
		if len(e.Amounts) == 1 && e.Explains && slices.Contains(first.SameAs, e.Amounts[0].Cause.Name) {
			out = append(out, course{e, k.patients(e)})
		}
	}
	return slices.DeleteFunc(out, func(c course) bool { return len(c.patients) == 0 })
}

// patients are the resistors of an explanation that a part can replace: the
// positions, and the other resistors but for the coil and the contacts.
func (k *checked) patients(e reading.Explanation) []patient {
	var out []patient
	resistors := k.Meter.Resistors()
	for _, a := range e.Amounts {
		if a.Cause.Kind != reading.Resistance || !(a.From > 0) {
			continue
		}
		if use := resistors[a.Cause.Resistor].Use; use == meter.Coil || use == meter.Contact {
			continue
		}
		out = append(out, patient{resistor: a.Cause.Resistor, position: k.positionAt(a.Cause.Resistor), name: a.Cause.Name,
			now: a.Implied, limit: a.Limit, from: a.From, stays: k.staying(a)})
	}
	return out
}

// positionAt is the position whose network a resistor of the meter is, or -1.
func (k *checked) positionAt(resistor int) int {
	return slices.IndexFunc(k.Positions, func(p meter.Position) bool { return p.Resistor == resistor })
}

// offTarget is the course for a meter that reads as its file predicts: on
// every range that does not pass, the position that puts it furthest off.
func (k *checked) offTarget() []course {
	predicted := k.Meter.Predict(k.Ohms()).Positions
	perOhm := bench.SlopesOf(k.Meter, k.state)
	var off []int
	for _, j := range k.judged.Ranges {
		if j.Verdict == reading.Pass {
			continue
		}
		most, at := 0.0, -1
		for i, p := range k.Positions {
			moved := math.Abs(perOhm[j.Range].PerOhm[p.Resistor] * (predicted[i].Ohms - predicted[i].TargetOhms))
			if moved > most {
				most, at = moved, i
			}
		}
		if at >= 0 && !slices.Contains(off, at) {
			off = append(off, at)
		}
	}
	if len(off) == 0 {
		return nil
	}
	slices.Sort(off)
	out := course{explanation: reading.Explanation{State: k.state}}
	for _, i := range off {
		out.patients = append(out.patients, patient{resistor: k.Positions[i].Resistor, position: i, name: k.Positions[i].Name,
			now: predicted[i].Ohms, limit: math.NaN(), from: predicted[i].TargetOhms, stays: k.Networks[i]})
	}
	return []course{out}
}

// offTargetWords says which positions the meter file itself has off.
func (k *checked) offTargetWords(all []course) []string {
	if len(all) == 0 {
		return []string{"the readings agree with what the meter file predicts, and every position is on its target: the class asks for more than this meter gives, or for surer readings"}
	}
	var named []string
	for _, p := range all[0].patients {
		named = append(named, fmt.Sprintf("%s (%s, and should be %s)", p.name, quantity.Format(p.now, quantity.Ohm, 4), quantity.Format(p.from, quantity.Ohm, 4)))
	}
	return []string{"the readings agree with what the meter file predicts: what it says is fitted is itself off, at " + strings.Join(named, ", ")}
}

// allCures says what to do about the first explanation, as far as no resistor
// mends it, and about those that cannot be told from it and cost nothing to try.
func (k *checked) allCures() []string {
	first := k.found.Explanations[0]
	out := k.cures(first)
	for _, e := range k.found.Explanations[1:] {
		cause := e.Amounts[0].Cause
		free := cause.Kind == reading.Zero || cause.Kind == reading.Friction ||
			cause.Kind == reading.Resistance && k.Meter.Resistors()[cause.Resistor].Use == meter.Contact
		if free && len(e.Amounts) == 1 && slices.Contains(first.SameAs, cause.Name) {
			out = append(out, "before anything is soldered, rule out "+cause.Name+": "+strings.Join(k.cures(e), ", "))
		}
	}
	return out
}

// cures says what to do about causes that no resistor of the drawer mends.
func (k *checked) cures(e reading.Explanation) []string {
	var out []string
	resistors := k.Meter.Resistors()
	for _, a := range e.Amounts {
		switch {
		case a.Cause.Kind == reading.Zero:
			out = append(out, "set the pointer to zero with its screw, nothing connected, and read again")
		case a.Cause.Kind == reading.Friction:
			out = append(out, "friction in the movement: tap the glass before each reading; if that helps, the pivots or the air gap want cleaning")
		case a.Cause.Kind == reading.FullScale:
			out = append(out, fmt.Sprintf("no part mends the movement: if a measurement of it agrees, put full_scale %q into %s and let shuntwright plan make the positions anew",
				quantity.Format(a.Implied, quantity.Ampere, 4), k.Path))
		case resistors[a.Cause.Resistor].Use == meter.Coil && math.IsInf(a.Implied, 1):
			out = append(out, "the coil or its springs are open: no resistor mends that")
		case resistors[a.Cause.Resistor].Use == meter.Coil:
			out = append(out, fmt.Sprintf("no part mends the coil: if a measurement of it agrees (never with an ohmmeter straight across it), put coil %q into %s and let shuntwright plan make the positions anew",
				figures.Spelled(a.Implied, impliedDigits(a)), k.Path))
		case resistors[a.Cause.Resistor].Use == meter.Contact:
			out = append(out, "clean the contacts of switch and leads in "+strings.TrimPrefix(a.Cause.Name, "contact of ")+", and read again")
		}
	}
	return out
}
