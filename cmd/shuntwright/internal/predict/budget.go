package predict

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
)

// Share is one contributor to the uncertainty of a range, in JSON.
type Share struct {
	Range  string  `json:"range"`
	Source string  `json:"source"`
	Share  float64 `json:"share_of_variance"`
	Half   float64 `json:"half_width_percent"` // of full scale, of a rectangular distribution
}

// Budget is who contributes what to the uncertainty of one range.
type Budget struct {
	name    string
	inputs  []budget.Input
	sources []budget.Source // the largest first
	result  budget.Result
	remarks map[string]string // of inputs, by name: how else they were measured
}

// budgetOf works out the budget of every range of a meter in a state, as
// Meter.State gives it, that anything is unsure of.
func budgetOf(s *asbuilt.Setup, state meter.State) []Budget {
	var out []Budget
	for r, by := range asbuilt.SlopesOf(s.Meter, state) {
		b := Budget{name: s.Ranges[r].Name, inputs: s.RangeInputs(by), remarks: ownLimits(s)}
		b.sources = budget.Sources(b.inputs)
		b.result = budget.Combine(b.sources)
		sort.SliceStable(b.sources, func(i, j int) bool { return b.sources[i].Half > b.sources[j].Half })
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
func sharesOf(budgets []Budget) ([]Share, report.Table) {
	table := report.Table{Name: "budget", Heading: "what makes every range unsure", Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "unsure by", Key: "source", Flexible: true},
		{Title: "half-width", Key: "half_width_percent", Number: true},
		{Title: "share of variance", Key: "share_of_variance", Number: true},
	}}
	var all []Share
	for _, b := range budgets {
		for _, source := range b.sources {
			one := Share{b.name, b.label(source), b.result.Share(source), source.Half}
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
func (b Budget) input(source budget.Source) (in budget.Input, shared bool) {
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
func (b Budget) label(source budget.Source) string {
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
func (b Budget) readings(source budget.Source) []string {
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
func (b Budget) known(source budget.Source, better float64) string {
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
func (b Budget) with(label string, better float64) float64 {
	changed := slices.Clone(b.sources)
	for i := range changed {
		if b.label(changed[i]) == label {
			changed[i].Half /= better
		}
	}
	return budget.Combine(changed).Limit
}
