package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// diagnosisWords says in sentences what is to blame.
func (k *Checkup) diagnosisWords() []string {
	if len(k.found.Explanations) == 0 {
		return nil // the notes say why
	}
	e := k.found.Explanations[0]
	if !e.Sound() {
		return []string{fmt.Sprintf("%s comes nearest, and does not explain these readings", causeOf(e))}
	}
	begins, one := "to blame: ", "one of these: "
	if k.judged.Verdict == reading.Pass && len(k.partly()) == 0 {
		begins, one = "within the class; what is off all the same: ", "within the class; off all the same is one of these: "
	}
	var sure, out []string
	for i, a := range e.Amounts {
		if len(a.SameAs) == 0 {
			sure = append(sure, k.blame(a))
			continue
		}
		out = append(out, one+strings.ReplaceAll(report.Few(k.alternatives(e, i), mostCauses), ", or ", "; or "))
	}
	if len(sure) > 0 {
		out = append([]string{begins + strings.Join(sure, ", and ")}, out...)
	}
	return append(out, k.otherwise()...)
}

// mostCauses is how many causes a sentence names before it counts the rest.
const mostCauses = 4

// alternatives are a cause of an explanation and those that the readings cannot
// tell from it, each with its size where that is known.
func (k *Checkup) alternatives(e reading.Explanation, i int) []string {
	out := []string{k.blame(e.Amounts[i])}
	for _, name := range e.Amounts[i].SameAs {
		said := "or " + name
		for _, other := range k.found.Explanations {
			if by := instead(other, e); len(by) == 1 && by[0].Cause.Name == name && len(other.Amounts) == len(e.Amounts) {
				said = "or " + k.blame(by[0])
				break
			}
		}
		out = append(out, said)
	}
	return out
}

// otherwise says what else would do that differs from the first explanation in
// more than one of its causes.
func (k *Checkup) otherwise() []string {
	first, all := k.found.Explanations[0], k.found.Explanations[1:]
	var out []string
	for _, e := range all {
		if old := instead(first, e); e.Sound() && len(e.Amounts) == len(first.Amounts) && len(old) > 1 && len(out) < 2 {
			out = append(out, fmt.Sprintf("possible too: %s in place of %s", report.List(causesOf(instead(e, first))), report.List(causesOf(old))))
		}
	}
	return out
}

// blame is what is wrong with one thing.
func (k *Checkup) blame(a reading.Amount) string {
	unit := k.unitOf(a.Cause.Kind)
	switch {
	case math.IsInf(a.Implied, 1) && a.Cause.Kind == reading.FullScale:
		return "the movement is stuck or its magnet gone"
	case math.IsInf(a.Implied, 1):
		return a.Cause.Name + " or its leads are open"
	case a.Cause.Kind == reading.Zero:
		return fmt.Sprintf("the pointer does not rest on zero: %s off", k.amount(a))
	case a.Cause.Kind == reading.Friction:
		return fmt.Sprintf("friction: the pointer stays behind by %s", quantity.Format(math.Abs(a.Implied), unit, 2))
	case a.From == 0:
		return fmt.Sprintf("%s is %s and should be nothing", a.Cause.Name, k.amount(a))
	}
	return fmt.Sprintf("%s is %s and should be %s", a.Cause.Name, k.amount(a), quantity.Format(a.From, unit, 4))
}

// nextWords names the further reading, and what each cause predicts for it, those
// together that would look alike; where there is none, what is to be measured.
func (k *Checkup) nextWords(most int) []string {
	next := k.found.Next
	if next == nil {
		said, _ := k.measureApart()
		return said
	}
	r := k.Ranges[next.Range]
	var shows []string
	for _, like := range alike(next) {
		if len(shows) == most {
			break
		}
		at := k.pointer(next.Range, like[0].Indicated)
		if to := k.pointer(next.Range, like[len(like)-1].Indicated); to != at {
			at += " to " + to
		}
		var causes []string
		for _, p := range like {
			causes = append(causes, strings.Join(causesOf(k.apart(p)), " and "))
		}
		shows = append(shows, fmt.Sprintf("%s if %s", at, strings.Join(report.Unique(causes), " or ")))
	}
	return []string{fmt.Sprintf("to tell them apart, read %s with %s applied: the pointer shows %s", r.Name,
		quantity.Format(next.Reference, r.Unit, 3), strings.Join(shows, ", "))}
}

// pointer is what a pointer shows, as finely as it can be read, in divisions where it
// was read in those.
func (k *Checkup) pointer(at int, indicated float64) string {
	if !k.set.InDivisions() {
		return k.shownWithin(at, indicated, math.NaN())
	}
	return fmt.Sprintf("%.1f div", indicated/k.Ranges[at].FullScale*k.Meter.Movement.Divisions)
}

// alike are the predictions by what the pointer shows, smallest first, those
// together that look the same.
func alike(f *reading.Further) [][]reading.Prediction {
	sorted := slices.SortedStableFunc(slices.Values(f.Predicted), func(p, q reading.Prediction) int { return cmp.Compare(p.Indicated, q.Indicated) })
	var out [][]reading.Prediction
	for _, p := range sorted {
		last := len(out) - 1
		if last < 0 || p.Indicated-out[last][0].Indicated > f.Alike {
			out = append(out, nil)
			last++
		}
		out[last] = append(out[last], p)
	}
	return out
}

// apart is what a prediction goes by that not all of them go by.
func (k *Checkup) apart(p reading.Prediction) []reading.Amount {
	var out []reading.Amount
	for _, q := range k.found.Next.Predicted {
		for _, a := range instead(k.found.Explanations[p.Explanation], k.found.Explanations[q.Explanation]) {
			if !slices.Contains(causesOf(out), a.Cause.Name) {
				out = append(out, a)
			}
		}
	}
	return out
}
