package check

import (
	"fmt"
	"math"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/reading"
)

// Part says of how much of the meter the answer is: of how many of its ranges,
// and whether one of them passes for a part of its scale; nothing where it is of
// all.
func (a *Answer) Part() string {
	var out string
	if len(a.Ranges) < a.all {
		out = fmt.Sprintf(" on %d of %s", len(a.Ranges), report.Counted(a.all, "range"))
	}
	if a.partly {
		out += ", not up to full scale"
	}
	return out
}

// Partly tells that the meter passes, if it does, for a part of some scale alone.
func (a *Answer) Partly() bool { return a.partly }

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

// partly are the ranges that pass for the part of their scale that was read, and
// held to full scale need not.
func (k *Checkup) partly() []reading.RangeJudgement {
	var out []reading.RangeJudgement
	for _, j := range k.judged.Ranges {
		if j.Partly {
			out = append(out, j)
		}
	}
	return out
}

// partlyWords say how these ranges would read at full scale, and to read them there.
func (k *Checkup) partlyWords() []string {
	var held []string
	for _, j := range k.partly() {
		one := fmt.Sprintf("%s (read to %.0f %%)", k.Ranges[j.Range].Name, math.Floor(100*j.Reach))
		if !math.IsNaN(j.FullPercent) {
			one = k.Ranges[j.Range].Name + ", " + report.PercentPair(j.FullPercent, j.FullLimit).Text + fmt.Sprintf(" (read to %.0f %%)", math.Floor(100*j.Reach))
		}
		held = append(held, one)
	}
	if held == nil {
		return nil
	}
	return []string{fmt.Sprintf("held to full scale: %s: that is not within class %g for sure; read up to full scale", report.Few(held, mostCauses), k.Class)}
}
