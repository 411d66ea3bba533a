package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// heading says the verdict in one line.
func (k *Checkup) heading() string {
	read, all := report.Counted(len(k.judged.Ranges), "range"), len(k.Ranges)
	if len(k.judged.Ranges) < all {
		read = fmt.Sprintf("%d of %s", len(k.judged.Ranges), report.Counted(all, "range"))
	}
	said := fmt.Sprintf("%s: %s on %s", k.Meter.Name, report.Counted(len(k.set.Readings), "reading"), read)
	if math.IsNaN(k.Class) {
		return said + "; no class is given, so there is no verdict"
	}
	said = fmt.Sprintf("%s in class %g: %s", said, k.Class, strings.ToUpper(k.judged.Verdict.String()))
	if k.judged.Verdict == reading.Pass && (len(k.judged.Ranges) < all || len(k.partly()) > 0) {
		said += " for what was read"
	}
	return said
}

// with are the ranges that were read and have a verdict.
func (k *Checkup) with(verdict reading.Verdict) []reading.RangeJudgement {
	return slices.DeleteFunc(slices.Clone(k.judged.Ranges), func(j reading.RangeJudgement) bool { return j.Verdict != verdict })
}

// offWords name the ranges that the verdict is about: those that fail, else those
// that are undecided, else the worst.
func (k *Checkup) offWords() []string {
	word, of := "outside: ", k.with(reading.Fail)
	if len(of) == 0 {
		word, of = "undecided: ", k.with(reading.Undecided)
	}
	if len(of) == 0 {
		word, of = "worst: ", []reading.RangeJudgement{slices.MaxFunc(k.judged.Ranges, func(a, b reading.RangeJudgement) int {
			return cmp.Compare(math.Abs(a.ErrorPercent), math.Abs(b.ErrorPercent))
		})}
	}
	var names []string
	for _, j := range of {
		names = append(names, k.Ranges[j.Range].Name+", "+report.PercentPair(j.ErrorPercent, j.LimitPercent).Text)
	}
	return []string{word + report.Few(names, mostCauses)}
}

// partly are the ranges that pass for the part of their scale that was read, and
// held to full scale need not.
func (k *Checkup) partly() []reading.RangeJudgement {
	return slices.DeleteFunc(slices.Clone(k.judged.Ranges), func(j reading.RangeJudgement) bool { return !j.Partly })
}

// partlyWords say how these ranges would read at full scale, and to read them there.
func (k *Checkup) partlyWords() []string {
	var held []string
	for _, j := range k.partly() {
		one := k.Ranges[j.Range].Name
		if !math.IsNaN(j.FullPercent) {
			one += ", " + report.PercentPair(j.FullPercent, j.FullLimit).Text
		}
		held = append(held, one+fmt.Sprintf(" (read to %.0f %%)", math.Floor(100*j.Reach)))
	}
	if held == nil {
		return nil
	}
	return []string{fmt.Sprintf("held to full scale: %s: that is not within class %g for sure; read up to full scale", report.Few(held, mostCauses), k.Class)}
}

// pegged is a point with the pointer at its stop, in JSON. The error is at least
// that of a pointer at the last mark.
type pegged struct {
	Range      string  `json:"range"`
	Reference  float64 `json:"reference"`
	Unit       string  `json:"unit"`
	Direction  string  `json:"direction,omitempty"`
	LeastError float64 `json:"least_error_percent"`
	Verdict    string  `json:"verdict,omitempty"`
}

// least is the error, in percent of full scale, that a pointer at its stop has at
// least.
func (k *Checkup) least(p readings.Pegged) float64 {
	return 100 * (1 - p.Reference.Base/k.Ranges[p.Range].FullScale)
}

// peggedVerdict is that of a point with the pointer at its stop: one that is outside
// the class all the same fails, of others nobody can tell. None without a class.
func (k *Checkup) peggedVerdict(p readings.Pegged) reading.Verdict {
	limit := 100 * p.ReferenceLimit / k.Ranges[p.Range].FullScale
	if k.Simple {
		limit = 0
	}
	switch {
	case math.IsNaN(k.Class):
		return reading.NoVerdict
	case k.least(p)-limit > k.Class:
		return reading.Fail
	}
	return reading.Undecided
}

// peggedWords says of every range where the pointer stood at its stop with the
// least applied, and fills in the answer.
func (k *Checkup) peggedWords(answer *Answer) []string {
	stood := make([][]readings.Pegged, len(k.Ranges))
	for _, p := range k.set.Pegged {
		r := k.Ranges[p.Range]
		answer.Pegged = append(answer.Pegged, pegged{r.Name, p.Reference.Base, string(r.Unit), p.Direction.String(), k.least(p), k.peggedVerdict(p).String()})
		stood[p.Range] = append(stood[p.Range], p)
	}
	var out []string
	for at, all := range stood {
		if len(all) == 0 {
			continue
		}
		p := slices.MinFunc(all, func(a, b readings.Pegged) int { return cmp.Compare(a.Reference.Base, b.Reference.Base) })
		reads, more := "no more can be told", ""
		if least := k.least(p); least > 0 {
			reads = fmt.Sprintf("more than %s high", report.PercentSize(least, math.NaN()).Text)
		}
		if n := len(all) - 1; n > 0 {
			more = ", and at " + report.Counted(n, "point") + " more"
		}
		out = append(out, fmt.Sprintf("the pointer stood at its stop on %s with %s applied%s: %s; read it where it stands on the scale", k.Ranges[at].Name, p.Reference.Text, more, reads))
	}
	return out
}

// undecidedWords says why there is no verdict where nothing is accused, and
// what would be the likeliest cause.
func (k *Checkup) undecidedWords() []string {
	if k.judged.Verdict != reading.Undecided || k.found.Wrong {
		return nil
	}
	var open []string
	for _, j := range k.with(reading.Undecided) {
		var least reading.Point // the reading that the class decides least
		for _, p := range j.Points {
			if p.Verdict == reading.Undecided && math.Abs(p.ErrorPercent)+p.LimitPercent > math.Abs(least.ErrorPercent)+least.LimitPercent {
				least = p
			}
		}
		open = append(open, fmt.Sprintf("%s (%s)", k.Ranges[j.Range].Name, report.PercentPair(least.ErrorPercent, least.LimitPercent).Text))
	}
	said := fmt.Sprintf("undecided, for error and limit together reach across the class of %g %% on %s: a better reference, or a pointer read more finely, would tell", k.Class, report.List(open))
	if !k.found.AsPredicted {
		said += ". The readings agree with what the meter file predicts, within the limits of both"
	}
	if k.found.Suspect != nil {
		a := k.found.Suspect.Amounts[0]
		size := k.amount(a)
		if a.From > 0 {
			size += " in place of " + quantity.Format(a.From, k.unitOf(a.Cause.Kind), 4)
		}
		said += fmt.Sprintf("; if it is more than that, the likeliest cause is %s (%s)", a.Cause.Name, size)
		if len(a.SameAs) > 0 {
			said += ", or as well " + strings.Join(a.SameAs, " or ")
		}
	}
	return []string{said}
}

// rangeWarnings says which ranges the readings do not decide, and why.
func (k *Checkup) rangeWarnings() []string {
	var weak, unread, open []string
	errors := make([]float64, len(k.Ranges))
	k.Meter.Errors(errors, k.state)
	for _, j := range k.judged.Ranges {
		if j.Ratio < smallRatio {
			weak = append(weak, fmt.Sprintf("%s (%s)", k.Ranges[j.Range].Name, ratioText(j.Ratio)))
		}
		if math.IsNaN(errors[j.Range]) {
			open = append(open, k.Ranges[j.Range].Name)
		}
	}
	for r, one := range k.Ranges {
		if !slices.ContainsFunc(k.judged.Ranges, func(j reading.RangeJudgement) bool { return j.Range == r }) &&
			!slices.ContainsFunc(k.set.Pegged, func(p readings.Pegged) bool { return p.Range == r }) { // what can be told of that is said
			unread = append(unread, one.Name)
		}
	}
	var out []string
	if len(weak) > 0 {
		out = append(out, fmt.Sprintf("class by limit is below %d on %s: too little for a sure decision (IEC 60051-9 asks for 5 of the test equipment); "+
			"a better reference, or a pointer read more finely, would tell", smallRatio, report.List(weak)))
	}
	if len(unread) > 0 {
		out = append(out, "not read at all: "+report.List(unread))
	}
	if len(open) > 0 {
		out = append(out, "by the meter file a position is open on "+report.List(open)+": these ranges take no part in the diagnosis; record what is there with shuntwright fit")
	}
	return out
}
