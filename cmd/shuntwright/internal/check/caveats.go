package check

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// contradictionWarnings names the readings that nothing gives both, and what
// leaves them out.
func (k *Checkup) contradictionWarnings() []string {
	var out []string
	for _, j := range k.judged.Ranges {
		if len(j.LeftOut) == 1 {
			odd := j.LeftOut[0]
			out = append(out, fmt.Sprintf("%s contradicts %s of the same range: no cause and no two causes give it too; the verdict counts it, and diagnosis, zero, gain and linearity leave it out: take it again",
				k.spelled(odd), numbered(j.Contradictions, odd)))
			continue
		}
		switch len(j.Contradictions) {
		case 0:
		case 1:
			c := j.Contradictions[0]
			out = append(out, fmt.Sprintf("%s and %s contradict each other: %s", k.spelled(c.First), k.spelled(c.Second), contradicting))
		default:
			var pairs []string
			for _, c := range j.Contradictions {
				pairs = append(pairs, fmt.Sprintf("%d and %d", c.First+1, c.Second+1))
			}
			out = append(out, fmt.Sprintf("readings %s of %s contradict each other: %s", report.Few(pairs, mostCauses), k.Ranges[j.Range].Name, contradicting))
		}
	}
	return out
}

// contradicting says what becomes of readings that contradict each other.
const contradicting = "no cause and no two causes give both; the verdict counts them, and diagnosis, zero, gain and linearity leave them out, " +
	"not averaged. Was one taken with another drive, or on the way down? Take them again"

// againWords say which readings are to be taken again before anything is done.
func (k *Checkup) againWords() []string {
	var out []string
	for _, j := range k.judged.Ranges {
		switch name := k.Ranges[j.Range].Name; {
		case len(j.Contradictions) == 0:
		case len(j.LeftOut) == 1:
			out = append(out, fmt.Sprintf("first take reading %d again: it contradicts others of %s", j.LeftOut[0]+1, name))
		default:
			out = append(out, fmt.Sprintf("first take the readings of %s again: they contradict each other", name))
		}
	}
	return out
}

// numbered names the readings that contradict one.
func numbered(pairs []reading.Contradiction, one int) string {
	var out []string
	for _, c := range pairs {
		out = append(out, strconv.Itoa(c.First+c.Second-one+1))
	}
	return report.Plural(len(out), "reading") + " " + report.List(out)
}

// spelled is one reading in words.
func (k *Checkup) spelled(i int) string {
	one := k.set.Typed[i]
	return fmt.Sprintf("reading %d (%s, %s shown at %s)", i+1, k.Ranges[k.set.Readings[i].Range].Name, one.Indicated.Text, one.Reference.Text)
}

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
		return []string{fmt.Sprintf("the coil's copper (0.393 %%/K) does that at about %g °C, and is not to blame then: how warm was it? --temperature reckons with it, with %gC the coil is to blame", celsius, stated)}
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

// Refitted is what went into the meter since readings were written down: they
// tell nothing of that.
type Refitted struct {
	File      string    // of the readings
	Positions []string  // into which other parts went since; none: nothing did
	When      time.Time // when the first of them did
}

// String says what was changed, and when; empty where nothing was.
func (r Refitted) String() string {
	if len(r.Positions) == 0 {
		return ""
	}
	return fmt.Sprintf("%s changed (%s)", report.List(r.Positions)+report.Either(len(r.Positions) == 1, " was", " were"), r.When.Local().Format("2006-01-02 15:04"))
}

// OutOfDate tells that the readings blame parts that went in after they were
// taken.
func (k *Checkup) OutOfDate() bool {
	if len(k.Since.Positions) == 0 || !k.found.Wrong || k.found.AsPredicted {
		return false
	}
	if len(k.found.Explanations) == 0 || !k.found.Explanations[0].Sound() {
		return true
	}
	return slices.ContainsFunc(k.found.Explanations[0].Amounts, func(a reading.Amount) bool {
		return slices.ContainsFunc(append([]string{a.Cause.Name}, a.SameAs...), func(name string) bool { return slices.Contains(k.Since.Positions, name) })
	})
}

// outOfDateWords says what the readings do not know, and what to do; nothing
// where they are of what is fitted.
func (k *Checkup) outOfDateWords() []string {
	if !k.OutOfDate() {
		return nil
	}
	var served []int
	for _, p := range k.Positions {
		if slices.Contains(k.Since.Positions, p.Name) {
			served = append(served, k.served(p.Resistor)...)
		}
	}
	var again []string
	for i, r := range k.Ranges {
		if slices.Contains(served, i) {
			again = append(again, r.Name)
		}
	}
	return []string{fmt.Sprintf("%s was written before %v, and cannot blame what is there now: read %s again", k.Since.File, k.Since, report.Few(again, 4))}
}
