package predict

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
)

// contribution is one contributor to the uncertainty of a range, in JSON.
type contribution struct {
	Range  string  `json:"range"`
	Source string  `json:"source"`
	Share  float64 `json:"share_of_variance"`
	Half   float64 `json:"half_width_percent"` // of full scale, of a rectangular distribution
}

// rangeBudget is who contributes what to the uncertainty of one range.
type rangeBudget struct {
	name    string
	inputs  []budget.Input
	sources []budget.Source // the largest first
	result  budget.Result
	remarks map[string]string // of inputs, by name: how else they were measured
}

// budgetOf works out the budget of every range of a meter in a state, as
// Meter.State gives it, that anything is unsure of.
func budgetOf(s *asbuilt.Setup, state meter.State) []rangeBudget {
	var out []rangeBudget
	remarks := ownLimits(s)
	for r, by := range asbuilt.SlopesOf(s.Meter, state) {
		b := rangeBudget{name: s.Ranges[r].Name, inputs: s.RangeInputs(by), remarks: remarks}
		b.sources = budget.Sources(b.inputs)
		b.result = budget.Combine(b.sources)
		slices.SortStableFunc(b.sources, func(a, b budget.Source) int { return cmp.Compare(b.Half, a.Half) })
		if len(b.sources) > 0 {
			out = append(out, b)
		}
	}
	return out
}

// ownLimits says of the parts whose readings have a gain of their own how they
// were measured: the note that drawer add --drop leaves says by what.
func ownLimits(s *asbuilt.Setup) map[string]string {
	out := map[string]string{}
	for _, p := range s.Parts {
		switch {
		case math.IsNaN(p.GainPercent):
		case strings.HasPrefix(p.Note, "by ") && strings.Contains(p.Note, " at "):
			out[p.ID] = fmt.Sprintf("±%.2g %%, %s", p.GainPercent, p.Note)
		default:
			out[p.ID] = fmt.Sprintf("±%.2g %%", p.GainPercent)
		}
	}
	return out
}

// sharesOf lists the contributors of every range, largest first; the table leaves
// out those of less than one part in a hundred.
func sharesOf(budgets []rangeBudget) ([]contribution, report.Table) {
	table := report.Table{Name: "budget", Heading: "what makes every range unsure", Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "unsure by", Key: "source", Flexible: true},
		{Title: "half-width", Key: "half_width_percent", Number: true},
		{Title: "share of variance", Key: "share_of_variance", Number: true},
	}}
	var all []contribution
	for _, b := range budgets {
		for _, source := range b.sources {
			one := contribution{b.name, b.label(source), b.result.Share(source), source.Half}
			all = append(all, one)
			if one.Share >= 0.01 {
				table.Rows = append(table.Rows, []report.Cell{report.Words(one.Range), report.Words(one.Source),
					report.PercentLimit(source.Half), report.Pair(fmt.Sprintf("%.0f %%", 100*one.Share), report.Exact(one.Share))})
			}
		}
	}
	return all, table
}

// input is the quantity that a source comes from: of a gain that several share,
// the first of them.
func (b rangeBudget) input(source budget.Source) (in budget.Input, shared bool) {
	for _, in := range b.inputs {
		if source.Gain && in.Shared == source.Name {
			return in, true
		}
	}
	at := slices.IndexFunc(b.inputs, func(in budget.Input) bool { return in.Name == source.Name })
	return b.inputs[at], false
}

// label tells an instrument's gain, which many readings share, from what is a
// quantity's own.
func (b rangeBudget) label(source budget.Source) string {
	_, shared := b.input(source)
	switch {
	case shared && source.Name == inventory.Unnamed:
		return "gain of the unnamed instrument"
	case shared:
		return "gain of " + source.Name
	}
	return source.Name
}

// readings are the quantities that share a source, each with its remark.
func (b rangeBudget) readings(source budget.Source) []string {
	var out []string
	for _, in := range b.inputs {
		if in.Shared != source.Name || in.Slope == 0 {
			continue
		}
		name := in.Name
		if remark := b.remarks[name]; remark != "" {
			name += " [" + remark + "]"
		}
		out = append(out, name)
	}
	return report.Unique(out)
}

// known is how well the quantity behind a source would be known if it were
// known so many times better, in its own unit; of an instrument from the best
// to the worst that is known of its readings.
func (b rangeBudget) known(source budget.Source, better float64) string {
	in, shared := b.input(source)
	if !source.Gain {
		return "±" + quantity.Format(in.Floor/better, quantity.Ohm, 2)
	}
	least, most := in.GainPercent, in.GainPercent
	for _, other := range b.inputs {
		if shared && other.Shared == in.Shared && other.Slope != 0 {
			least, most = min(least, other.GainPercent), max(most, other.GainPercent)
		}
	}
	from, to := fmt.Sprintf("%.2g", least/better), fmt.Sprintf("%.2g", most/better)
	if from == to {
		return "±" + to + " %"
	}
	return fmt.Sprintf("±%s to ±%s %%", from, to)
}

// with is the limit of the range if one source were so many times smaller.
func (b rangeBudget) with(label string, better float64) float64 {
	changed := slices.Clone(b.sources)
	for i := range changed {
		if b.label(changed[i]) == label {
			changed[i].Half /= better
		}
	}
	return budget.Combine(changed).Limit
}

// betterAtMost is how many times better a quantity may be asked to be known:
// the step from a hand-held meter to a bridge (common practice).
const betterAtMost = 10

// again is the one measurement that is worth repeating.
type again struct {
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
func measureAgain(budgets []rangeBudget) *again {
	if len(budgets) == 0 {
		return nil
	}
	worst := slices.MaxFunc(budgets, func(a, b rangeBudget) int { return cmp.Compare(a.result.Limit, b.result.Limit) })
	largest := worst.sources[0]
	goal := budget.Combine(worst.sources[1:]).Standard * math.Sqrt(3) / 3
	better := min(max(1, largest.Half/goal), betterAtMost)
	out := &again{Source: worst.label(largest), Now: worst.known(largest, 1), Then: worst.known(largest, better)}
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
func (a *again) String() string {
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
