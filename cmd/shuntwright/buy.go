package main

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match/buy"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// shopping is what plan --buy names, in JSON.
type shopping struct {
	Series           string          `json:"series"`
	TolerancePercent float64         `json:"tolerance_percent"`
	Ohms             []float64       `json:"ohms"`
	Items            []boughtItem    `json:"items,omitempty"`
	Found            bool            `json:"found"`
	Proven           bool            `json:"proven"`
	Worst            report.Maybe    `json:"worst_full_scale_error_percent,omitempty"`
	Positions        []boughtNetwork `json:"positions,omitempty"`
	Ordinary         *instead        `json:"otherwise,omitempty"`
	Stronger         *instead        `json:"with_higher_ratings,omitempty"`
	timeUp           bool
}

// boughtItem is one line of a list for the counter: the least ratings that each
// piece must have at full scale, in the position that asks most of it.
type boughtItem struct {
	Ohms     float64 `json:"ohms"`
	Count    int     `json:"count"`
	Watts    float64 `json:"watts"`
	Volts    float64 `json:"volts"`
	Position string  `json:"position"`
}

// boughtNetwork is one position with the bought parts at their nominal values.
type boughtNetwork struct {
	Position string  `json:"position"`
	Network  string  `json:"network"`
	Ohms     float64 `json:"ohms"`
}

// checkBuy refuses --buy and --series where they cannot be served.
func (c *call) checkBuy(s *setup) error {
	switch {
	case !c.flags.Changed("buy") && c.flags.Changed("series"):
		return misused("--series belongs to --buy N")
	case !c.flags.Changed("buy") && (c.flags.Changed("buy-watts") || c.flags.Changed("buy-volts")):
		return misused("--buy-watts and --buy-volts belong to --buy N")
	case !c.flags.Changed("buy"):
		return nil
	case c.options.buy < 1:
		return misused("--buy %d: at least one value", c.options.buy)
	case math.IsNaN(s.class(c)) || s.class(c) <= 0:
		return misused("--buy needs to know how true is true enough: give --class PERCENT, or a class in the meter file")
	}
	if c.options.series != "" {
		if _, err := quantity.SeriesTolerance(c.options.series); err != nil {
			return misused("--series: %w", err)
		}
	}
	return nil
}

// shoppingTable shows where the bought parts would go; they stand in it as
// resistances.
func (s *setup) shoppingTable(q *plan.Question, bought buy.Bought, list *shopping) report.Table {
	table := report.Table{Name: "buy", Columns: []report.Column{
		{Title: "with what is bought", Key: "position", Flexible: true},
		{Title: "network", Key: "network", Flexible: true},
		{Title: "value", Key: "ohms", Number: true},
		{Title: "error", Key: "error_percent", Number: true},
	}}
	if !bought.Found || len(bought.Values) == 0 {
		return table
	}
	leaf := func(part int) wiring.Network {
		if part >= len(q.Chosen) {
			x := bought.Values[part-len(q.Chosen)]
			return wiring.Network{Ohms: quantity.Value{Text: strings.ReplaceAll(quantity.AsSold(x), "Ω", "ohm"), Base: x, Unit: quantity.Ohm, Named: true}}
		}
		return wiring.Network{ID: s.Parts[q.Chosen[part]].ID}
	}
	for slot, n := range bought.Plan.Networks {
		position := s.Positions[q.Open[slot]].Name
		w := asbuilt.WireTree(n.Tree(), leaf, q.Kept[q.Open[slot]])
		list.Positions = append(list.Positions, boughtNetwork{position, w.String(), n.Value()})
		table.Rows = append(table.Rows, []report.Cell{
			report.Words(position), report.Words(w.String()),
			report.Quantity(n.Value(), quantity.Ohm, 4),
			report.PercentError(100*(n.Value()/q.Problem.Needs[slot].Target-1), math.NaN()),
		})
	}
	return table
}

// shoppingWords say what to buy in one sentence, and what that leaves open.
func (c *call) shoppingWords(list *shopping, ranges []predict.Range) []string {
	switch {
	case !list.Found:
		of := fmt.Sprintf("of at most %d %s of %s, for %s and %s", c.options.buy, report.Plural(c.options.buy, "value"), list.Series,
			quantity.Format(c.options.buyWatts.base(), quantity.Watt, 2), quantity.Format(c.options.buyVolts.base(), quantity.Volt, 2))
		head := "no parts to buy help: %s, none bring every range's error within the class"
		if !list.Proven {
			head = "no parts to buy were found, %s, that bring every range's error within the class (not proven: " + list.why() + ")"
		}
		return append([]string{fmt.Sprintf(head, of)}, c.insteadWords(list)...)
	case len(list.Ohms) == 0:
		return append([]string{"nothing to buy: from the drawer alone every range's error is within the class"}, undecidedWords(ranges)...)
	}
	smallest := "no fewer parts do"
	if !list.Proven {
		smallest = "whether fewer parts do is not proven: " + list.why()
	}
	out := []string{fmt.Sprintf("buy %s each (%s): at their nominal values every range's error is within the class, worst error %.2f %%; %s",
		counterWords(list.Items), list.Series, *list.Worst, smallest)}
	how := "measure them before use: until then they are known to ±%g %% only, which this does not count"
	if c.options.sure {
		how += ", with --sure neither"
	}
	return append(out, fmt.Sprintf(how, list.TolerancePercent))
}

// insteadWords say what would do where what was asked does not.
func (c *call) insteadWords(list *shopping) []string {
	var out []string
	if i := list.Ordinary; i != nil {
		with := c.otherFlags(list)
		if len(i.Items) == 0 {
			return append(out, fmt.Sprintf("with%s the drawer alone does", with))
		}
		out = append(out, fmt.Sprintf("with%s this would do: %s each", with, counterWords(i.Items)))
	}
	if i := list.Stronger; i != nil {
		out = append(out, fmt.Sprintf("of parts that bear more (--buy-watts, --buy-volts) this would do: %s each", counterWords(i.Items)))
	}
	if out == nil {
		out = append(out, finerHint(list.Series, c.options.buy))
	}
	return out
}

// otherFlags are those that what would do otherwise takes.
func (c *call) otherFlags(list *shopping) (with string) {
	if list.Ordinary.Parts != c.options.parts {
		with += fmt.Sprintf(" --parts %d", list.Ordinary.Parts)
	}
	if list.Ordinary.Series != list.Series {
		with += " --series " + list.Ordinary.Series
	}
	return with
}

// afterShopping is the command that follows: enter what was bought, or ask for
// what would do otherwise; none where it is what follows a plan.
func (c *call) afterShopping(s *setup, list *shopping) string {
	switch {
	case list == nil:
		return ""
	case len(list.Items) > 0:
		return "shuntwright drawer add --watts " + report.InShell(c.options.buyWatts.String()) + " --volts " + report.InShell(c.options.buyVolts.String()) + s.sameInstrument()
	case list.Ordinary != nil:
		return c.again("plan", s.Path, "parts") + c.otherFlags(list) + fmt.Sprintf(" --buy %d", c.options.buy)
	case !list.Found && list.Stronger != nil:
		watts, volts := 0.0, 0.0
		for _, it := range list.Stronger.Items {
			watts, volts = max(watts, it.Watts), max(volts, it.Volts)
		}
		return c.again("plan", s.Path) + fmt.Sprintf(" --buy %d --buy-watts %s --buy-volts %s", c.options.buy,
			report.InShell(quantity.Format(roundUp(watts, 2), quantity.Watt, 2)), report.InShell(quantity.Format(roundUp(volts, 2), quantity.Volt, 2)))
	}
	return ""
}

// sameInstrument is the flag for the one that all parts of the drawer were read
// with; empty where there is none.
func (s *setup) sameInstrument() string {
	name := ""
	for _, p := range s.Parts {
		if p.IsSpool() || !p.Measured() {
			continue
		}
		if p.Instrument == "" || name != "" && p.Instrument != name {
			return ""
		}
		name = p.Instrument
	}
	if name == "" {
		return ""
	}
	return " --instrument " + report.InShell(name)
}

// why tells why something is not proven.
func (list *shopping) why() string {
	if list.timeUp {
		return "the time was up"
	}
	return "there are more networks than could all be combined"
}

// finerHint names what may help where no values of a series do.
func finerHint(series string, buy int) string {
	finer := ""
	for _, name := range []string{"E24", "E96"} {
		have, _ := quantity.SeriesTolerance(series)
		if percent, _ := quantity.SeriesTolerance(name); percent < have && finer == "" {
			finer = fmt.Sprintf("a finer series (--series %s) or ", name)
		}
	}
	return fmt.Sprintf("%smore values (--buy %d) may do", finer, buy+1)
}

// undecidedWords say which ranges the limits leave undecided though the errors
// are within the class.
func undecidedWords(ranges []predict.Range) []string {
	var names []string
	for _, r := range ranges {
		if r.Verdict == "undecided" {
			names = append(names, r.Range)
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("undecided: %d of %d ranges, since error and limit together reach beyond the class: %s",
		len(names), len(ranges), report.List(names))}
}

// seriesNames are what --series takes.
func seriesNames() string { return strings.Join(quantity.SeriesNames(), ", ") }

// manyMarked is how many different markings say something of the series that a
// drawer's owner buys.
const manyMarked = 10

// markedSeries is the coarsest series that holds what is marked in the drawer, but
// none that is coarser than any tolerance marked there, and E24 where few
// markings differ.
func (s *setup) markedSeries() string {
	distinct, coarsest := map[float64]bool{}, math.NaN()
	for _, p := range s.Parts {
		if p.Nominal.Text == "" {
			continue
		}
		distinct[p.Nominal.Base] = true
		if !(p.TolerancePercent <= coarsest) && !math.IsNaN(p.TolerancePercent) {
			coarsest = p.TolerancePercent
		}
	}
	if len(distinct) < manyMarked {
		return "E24"
	}
	series := quantity.SeriesOf(slices.Sorted(maps.Keys(distinct)))
	if usual, _ := quantity.SeriesTolerance(series); usual > coarsest {
		return "E24"
	}
	return series
}
