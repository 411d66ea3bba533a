package check

import (
	"cmp"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
	"shuntwright/meter/wiring"
)

// likeliest is the first explanation, where it is sound; else nothing explains the
// readings, or nothing but the meter file needs to.
func (k *Checkup) likeliest() (e reading.Explanation, sound bool) {
	if len(k.found.Explanations) == 0 || !k.found.Explanations[0].Sound() {
		return reading.Explanation{State: k.state}, false
	}
	return k.found.Explanations[0], true
}

// hypotheses are the ways to see what is wrong, the likeliest first: the first
// explanation, and those that the readings cannot tell from it, as far as
// there is a resistor to put right in them: one that they blame, or one that the
// meter file itself has off. Where the readings agree with the meter file, or
// nothing explains them, it is the file alone that says what is off.
func (k *Checkup) hypotheses() []hypothesis {
	first, sound := k.likeliest()
	seen := []reading.Explanation{first}
	if sound && len(first.Amounts) == 1 {
		for _, e := range k.found.Explanations[1:] {
			if len(e.Amounts) == 1 && e.Sound() && slices.Contains(first.Amounts[0].SameAs, e.Amounts[0].Cause.Name) {
				seen = append(seen, e)
			}
		}
	}
	var out []hypothesis
	for _, e := range seen {
		if c := k.alsoOff(hypothesis{e, k.suspects(e)}); len(c.suspects) > 0 {
			out = append(out, c)
		}
	}
	return out
}

// suspects are the resistors of an explanation that a part can replace: the
// positions, and the other resistors but for the coil and the contacts.
func (k *Checkup) suspects(e reading.Explanation) []suspect {
	var out []suspect
	resistors := k.Meter.Resistors()
	for _, a := range e.Amounts {
		if a.Cause.Kind != reading.Resistance || !(a.From > 0) {
			continue
		}
		if use := resistors[a.Cause.Resistor].Use; use == meter.Coil || use == meter.Contact {
			continue
		}
		position, limit := k.positionAt(a.Cause.Resistor), a.Limit
		if math.IsInf(a.Implied, 1) {
			limit = a.Implied // no limit is, and it is by the readings all the same
		}
		out = append(out, suspect{resistor: a.Cause.Resistor, position: position, name: a.Cause.Name,
			now: a.Implied, limit: limit, from: a.From, stays: k.staying(position, a)})
	}
	return out
}

// positionAt is the position whose network a resistor of the meter is, or -1.
func (k *Checkup) positionAt(resistor int) int {
	return slices.IndexFunc(k.Positions, func(p meter.Position) bool { return p.Resistor == resistor })
}

// staying is what a trim of a position is wired to. Where parts of the drawer
// are fitted it is all that is fitted: they stay in the circuit, and are not to
// be offered again. Else it is the implied resistance as text, with the digits
// that its limit lets stand; it says what the movement's instrument would show,
// leads included, because that is how the meter file is read.
func (k *Checkup) staying(position int, a reading.Amount) wiring.Network {
	if math.IsInf(a.Implied, 1) || !(a.Implied > 0) {
		return wiring.Network{}
	}
	if position >= 0 && len(k.Networks[position].IDs()) > 0 {
		return k.Networks[position]
	}
	shown := a.Implied + k.Instruments[k.Meter.Movement.Instrument].LeadsOhms
	v, err := quantity.Parse(report.Spelled(shown, impliedDigits(a)), quantity.Ohm, quantity.Positive)
	if err != nil {
		return wiring.Network{}
	}
	return wiring.Network{Ohms: v}
}

// unseen is how many percent of full scale no pointer shows (common practice).
const unseen = 0.1

// alsoOff adds to a hypothesis what the meter file itself has off: with all that it
// puts right on its target, as long as a range does not pass, or the hypothesis
// would put it outside the class, the position that by itself puts it furthest
// off, if that is by a quarter of what it is beyond the class.
func (k *Checkup) alsoOff(c hypothesis) hypothesis {
	if slices.ContainsFunc(c.explanation.Amounts, k.inMovement) {
		return c // for another movement all positions are to be others
	}
	now, beyond, chosen := k.righted(c), k.beyond(), map[int]bool{}
	targets := k.Meter.Predict(k.Ohms()).Positions
	serves := func(resistor int) {
		chosen[resistor] = true
		for _, at := range k.served(resistor) {
			beyond[at] = 0
		}
	}
	for _, p := range c.suspects {
		serves(p.resistor)
	}
	right := now // with every position on its target
	for i, p := range k.Positions {
		if targets[i].TargetOhms > 0 { // the movement can serve its range
			right = right.With(p.Resistor, targets[i].TargetOhms)
		}
	}
	for {
		most, at := 0.0, -1
		errors := k.Meter.PredictState(now).Ranges
		for i, p := range k.Positions {
			if chosen[p.Resistor] || !(targets[i].TargetOhms > 0) {
				continue
			}
			by := k.Meter.PredictState(right.With(p.Resistor, now.Ohms[p.Resistor])).Ranges // itself
			for _, r := range k.served(p.Resistor) {
				read, failed := beyond[r]
				off, alone := max(read, math.Abs(errors[r].ErrorPercent)-k.Class), math.Abs(by[r].ErrorPercent)
				if failed && off > 0 && alone > max(off/4, unseen) && alone > most {
					most, at = alone, i
				}
			}
		}
		if at < 0 {
			break
		}
		p := k.Positions[at]
		now = now.With(p.Resistor, targets[at].TargetOhms)
		serves(p.Resistor)
		c.suspects = append(c.suspects, suspect{resistor: p.Resistor, position: at, name: p.Name,
			now: targets[at].Ohms, limit: math.NaN(), from: targets[at].TargetOhms, stays: k.Networks[at]})
	}
	slices.SortStableFunc(c.suspects, func(a, b suspect) int { return cmp.Compare(a.resistor, b.resistor) })
	return c
}

// inMovement tells an amount of what no part mends: full-scale current or coil.
func (k *Checkup) inMovement(a reading.Amount) bool {
	return a.Cause.Kind == reading.FullScale || a.Cause.Kind == reading.Resistance && k.Meter.Resistors()[a.Cause.Resistor].Use == meter.Coil
}

// righted is the meter of a hypothesis with all that it blames put right, each to
// its own target.
func (k *Checkup) righted(c hypothesis) meter.State {
	state := c.explanation.State
	for i, r := range k.Meter.Resistors() {
		if r.Use == meter.Contact {
			state = state.With(i, k.state.Ohms[i])
		}
	}
	targets, err := k.Meter.Targets()
	for _, p := range c.suspects {
		goal := p.from
		if err == nil && p.position >= 0 { // a range that the movement cannot serve has none
			goal = targets[p.position]
		}
		state = state.With(p.resistor, goal)
	}
	return state
}

// beyond is how far the errors of the ranges that do not pass are beyond the class,
// in percent, but for what the temperature does: with its limit where that is what
// leaves one undecided.
func (k *Checkup) beyond() map[int]float64 {
	out := map[int]float64{}
	stated, read := k.Meter.PredictState(k.state).Ranges, k.Meter.PredictState(k.AtTemperature(k.state, k.celsius)).Ranges
	for _, j := range k.judged.Ranges {
		if j.Verdict == reading.Pass {
			continue
		}
		off := math.Abs(j.ErrorPercent)
		if warmth := read[j.Range].ErrorPercent - stated[j.Range].ErrorPercent; j.ErrorPercent*warmth > 0 {
			off = max(off-math.Abs(warmth), 0)
		}
		off -= k.Class
		if j.Verdict == reading.Undecided {
			off += j.LimitPercent
		}
		out[j.Range] = max(off, 0)
	}
	return out
}
