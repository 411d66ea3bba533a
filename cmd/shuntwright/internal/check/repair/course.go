package repair

import (
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// Finding is a meter as the readings have it: what is fitted by its file, and
// what the readings say of that.
type Finding struct {
	*asbuilt.Setup
	Class  float64           // percent; NaN: none
	State  meter.State       // by the file
	Judged reading.Judgement // the ranges, by the class
	Found  reading.Diagnosis // what is to blame
}

// Courses are the ways to see what is wrong, the likeliest first: the first
// explanation, and those that the readings cannot tell from it, as far as
// there is a resistor in them. Where the readings agree with the meter file,
// it is the file itself that says what is off.
func (k *Finding) Courses() []Course {
	if k.Found.AsPredicted {
		return k.offTarget()
	}
	if len(k.Found.Explanations) == 0 || !k.Found.Explanations[0].Sound() {
		return nil
	}
	first := k.Found.Explanations[0]
	out := []Course{{first, k.patients(first)}}
	for _, e := range k.Found.Explanations[1:] {
		if len(first.Amounts) == 1 && len(e.Amounts) == 1 && e.Sound() && slices.Contains(first.Amounts[0].SameAs, e.Amounts[0].Cause.Name) {
			out = append(out, Course{e, k.patients(e)})
		}
	}
	return slices.DeleteFunc(out, func(c Course) bool { return len(c.Patients) == 0 })
}

// patients are the resistors of an explanation that a part can replace: the
// positions, and the other resistors but for the coil and the contacts.
func (k *Finding) patients(e reading.Explanation) []Patient {
	var out []Patient
	resistors := k.Meter.Resistors()
	for _, a := range e.Amounts {
		if a.Cause.Kind != reading.Resistance || !(a.From > 0) {
			continue
		}
		if use := resistors[a.Cause.Resistor].Use; use == meter.Coil || use == meter.Contact {
			continue
		}
		position := k.positionAt(a.Cause.Resistor)
		out = append(out, Patient{Resistor: a.Cause.Resistor, Position: position, Name: a.Cause.Name,
			Now: a.Implied, Limit: a.Limit, From: a.From, stays: k.staying(position, a)})
	}
	return out
}

// positionAt is the position whose network a resistor of the meter is, or -1.
func (k *Finding) positionAt(resistor int) int {
	return slices.IndexFunc(k.Positions, func(p meter.Position) bool { return p.Resistor == resistor })
}

// offTarget is the course for a meter that reads as its file predicts: on
// every range that does not pass, the position that puts it furthest off, if on
// its target the range were half as far beyond the class.
func (k *Finding) offTarget() []Course {
	predicted := k.Meter.Predict(k.Ohms()).Positions
	now := k.Meter.PredictState(k.State).Ranges
	var off []int
	for _, j := range k.Judged.Ranges {
		if j.Verdict == reading.Pass {
			continue
		}
		most, at := k.beyond(j)/2, -1
		for i, p := range k.Positions {
			right := k.Meter.PredictState(k.State.With(p.Resistor, predicted[i].TargetOhms)).Ranges[j.Range].ErrorPercent
			if gained := math.Abs(now[j.Range].ErrorPercent) - math.Abs(right); gained > most {
				most, at = gained, i
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
	out := Course{Explanation: reading.Explanation{State: k.State}}
	for _, i := range off {
		out.Patients = append(out.Patients, Patient{Resistor: k.Positions[i].Resistor, Position: i, Name: k.Positions[i].Name,
			Now: predicted[i].Ohms, Limit: math.NaN(), From: predicted[i].TargetOhms, stays: k.Networks[i]})
	}
	return []Course{out}
}

// beyond is how far the error of a range is beyond the class, in percent: with
// its limit where that is what leaves it undecided.
func (k *Finding) beyond(j reading.RangeJudgement) float64 {
	off := math.Abs(j.ErrorPercent) - k.Class
	if j.Verdict == reading.Undecided {
		off += j.LimitPercent
	}
	return max(off, 0)
}
