package check

import (
	"fmt"
	"math"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// undecidedWords says why there is no verdict where nothing is accused, and
// what would be the likeliest cause.
func (k *Checkup) undecidedWords() []string {
	if k.judged.Verdict != reading.Undecided || k.found.Wrong {
		return nil
	}
	var open []string
	for _, j := range k.judged.Ranges {
		if j.Verdict != reading.Undecided {
			continue
		}
		p := undecidedPoint(j)
		open = append(open, fmt.Sprintf("%s (%s)", k.Ranges[j.Range].Name, report.PercentPair(p.ErrorPercent, p.LimitPercent).Text))
	}
	said := fmt.Sprintf("undecided, for error and limit together reach across the class of %g %% on %s: a better reference, or a pointer read more finely, would tell", k.Class, report.List(open))
	if !k.found.AsPredicted {
		said += ". " + k.suspicion()
	}
	return []string{said}
}

// undecidedPoint is the reading of a range that the class decides least: the
// undecided one that is furthest off.
func undecidedPoint(j reading.RangeJudgement) reading.Point {
	var out reading.Point
	for _, p := range j.Points {
		if p.Verdict == reading.Undecided && math.Abs(p.ErrorPercent)+p.LimitPercent > math.Abs(out.ErrorPercent)+out.LimitPercent {
			out = p
		}
	}
	return out
}

// suspicion is what would be to blame, though the readings accuse nothing.
func (k *Checkup) suspicion() string {
	agree := "The readings agree with what the meter file predicts, within the limits of both"
	if k.found.Suspect == nil {
		return agree
	}
	a := k.found.Suspect.Amounts[0]
	size := k.amount(a)
	if a.From > 0 {
		size += " in place of " + quantity.Format(a.From, k.unitOf(a.Cause.Kind), 4)
	}
	names := fmt.Sprintf("%s (%s)", a.Cause.Name, size)
	if len(a.SameAs) > 0 {
		names += ", or as well " + strings.Join(a.SameAs, " or ")
	}
	return agree + "; if it is more than that, the likeliest cause is " + names
}
