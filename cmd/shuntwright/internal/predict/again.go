package predict

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/budget"
)

// betterAtMost is how many times better a quantity may be asked to be known:
// the step from a hand-held meter to a bridge (common practice).
const betterAtMost = 10

// Again is the one measurement that is worth repeating.
type Again struct {
	by       string      // the instrument whose gain it is; empty: the quantity's own
	Source   string      `json:"source"`
	Readings []string    `json:"readings,omitempty"` // what shares the source
	Now      string      `json:"known_to"`
	Then     string      `json:"measure_to"`
	Ranges   []againGain `json:"ranges"`
}

// againGain is what it would do for one range.
type againGain struct {
	Range string  `json:"range"`
	Now   float64 `json:"limit_percent"`
	Then  float64 `json:"limit_percent_then"`
}

// measureAgain chooses what to measure again: the largest source of the range
// that is least sure, so well that the others are three times as large, or
// betterAtMost times better. Nil where nothing is unsure or no range would gain.
func measureAgain(budgets []Budget) *Again {
	if len(budgets) == 0 {
		return nil
	}
	worst := slices.MaxFunc(budgets, func(a, b Budget) int { return cmp.Compare(a.result.Limit, b.result.Limit) })
	largest := worst.sources[0]
	goal := budget.Combine(worst.sources[1:]).Standard * math.Sqrt(3) / 3
	better := min(max(1, largest.Half/goal), betterAtMost)
	out := &Again{Source: worst.label(largest), Now: worst.known(largest, 1), Then: worst.known(largest, better)}
	if _, shared := worst.input(largest); shared {
		out.by = largest.Name
		for _, b := range budgets { // of all ranges: a gain that cancels between two readings stays when one alone is read anew
			out.Readings = append(out.Readings, b.readings(largest)...)
		}
		out.Readings = report.Unique(out.Readings)
	}
	for _, b := range budgets {
		if then := b.with(out.Source, better); then < 0.9*b.result.Limit {
			out.Ranges = append(out.Ranges, againGain{b.name, b.result.Limit, then})
		}
	}
	if len(out.Ranges) == 0 {
		return nil
	}
	return out
}

// String says it in one line.
func (a *Again) String() string {
	var gains []string
	for _, g := range a.Ranges {
		gains = append(gains, fmt.Sprintf("%s from ±%.2g %% to ±%.2g %%", g.Range, g.Now, g.Then))
	}
	what := fmt.Sprintf("%s, to %s (now %s)", a.Source, a.Then, a.Now)
	if a.by != "" {
		by := fmt.Sprintf("with %q", a.by)
		if a.by == inventory.Unnamed {
			by = "without a named instrument"
		}
		what = fmt.Sprintf("what was read %s (%s), with an instrument of %s (now %s)", by, report.List(a.Readings), a.Then, a.Now)
	}
	return fmt.Sprintf("measure again: %s; that brings the limit of %s", what, report.Few(gains, mostSaid))
}
