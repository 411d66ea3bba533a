package check

import (
	"fmt"
	"slices"
	"time"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/reading"
)

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
