package main

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/preferred"
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
	timeUp           bool
	stronger         []boughtItem // what would do if it could be had with more watts or volts
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

// shoppingTime is how long the search for what to buy may take where no
// --time-limit is given; what it has by then is said to be not proven.
const shoppingTime = 30 * time.Second

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
		return misused("--buy %d: at least one part", c.options.buy)
	case math.IsNaN(s.class(c)) || s.class(c) <= 0:
		return misused("--buy needs to know how true is true enough: give --class PERCENT, or a class in the meter file")
	}
	return nil
}

// shop looks for the smallest set of preferred values that brings every range
// within the class.
func (c *call) shop(ctx context.Context, s *setup, q *plan.Question) (*shopping, buy.Bought, error) {
	list := &shopping{Series: c.options.series, Ohms: []float64{}}
	if list.Series == "" {
		list.Series = s.markedSeries()
	}
	low, high := math.Inf(1), 0.0
	for _, n := range q.Problem.Needs {
		low, high = min(low, n.Target/trimSpan), max(high, n.Target*trimSpan)
	}
	values, err := preferred.Values(list.Series, low, high)
	if err != nil {
		return nil, buy.Bought{}, misused("--series: %w", err)
	}
	if list.TolerancePercent, err = preferred.TolerancePercent(list.Series); err != nil {
		return nil, buy.Bought{}, misused("--series: %w", err)
	}
	if c.options.timeLimit == 0 {
		limited, stop := context.WithTimeout(ctx, shoppingTime)
		defer stop()
		ctx = limited
	}
	offer := buy.Offer{Values: values, Bears: func(ohms float64) float64 { return c.toBeHad(ohms, s.class(c)) }}
	bought, err := buy.Fewest(ctx, q.Stock, q.Problem, offer, c.options.buy, s.class(c))
	if err == nil && !bought.Found {
		offer.Bears = nil
		unrated, err := buy.Fewest(ctx, q.Stock, q.Problem, offer, c.options.buy, s.class(c))
		if err != nil {
			return nil, bought, err
		}
		list.stronger = s.boughtItems(q, unrated, c.options.derate)
	}
	if err != nil {
		return nil, bought, err
	}
	list.Items = s.boughtItems(q, bought, c.options.derate)
	list.Found, list.Proven, list.timeUp = bought.Found, bought.Proven, ctx.Err() != nil
	if bought.Found {
		list.Ohms = append(list.Ohms, bought.Values...)
		list.Worst = report.Some(bought.Plan.Worst)
	}
	return list, bought, nil
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
			return wiring.Network{Ohms: quantity.Value{Text: strings.ReplaceAll(report.AsSold(x), "Ω", "ohm"), Base: x, Unit: quantity.Ohm, Named: true}}
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
func (c *call) shoppingWords(list *shopping, ranges []report.Range) []string {
	rated := ""
	if len(list.stronger) > 0 {
		rated = "; of parts that bear more (--buy-watts, --buy-volts) this would do: " + counterWords(list.stronger)
	}
	switch {
	case !list.Found && list.Proven:
		return []string{fmt.Sprintf("nothing to buy helps: no set of at most %d %s of %s brings every range's error within the class%s; %s",
			c.options.buy, report.Plural(c.options.buy, "value"), list.Series, rated, finerHint(list.Series, c.options.buy))}
	case !list.Found:
		return []string{fmt.Sprintf("no set of at most %d %s of %s was found that brings every range's error within the class (not proven: %s)%s; %s",
			c.options.buy, report.Plural(c.options.buy, "value"), list.Series, list.why(), rated, finerHint(list.Series, c.options.buy))}
	case len(list.Ohms) == 0:
		return append([]string{"nothing to buy: from the drawer alone every range's error is within the class"}, undecidedWords(ranges)...)
	}
	smallest := "no smaller set does"
	if !list.Proven {
		smallest = "whether a smaller set does is not proven: " + list.why()
	}
	out := []string{fmt.Sprintf("buy %s each (%s): at their nominal values every range's error is within the class, worst error %.2f %%; %s",
		counterWords(list.Items), list.Series, *list.Worst, smallest)}
	how := "measure them before use: until then they are known to ±%g %% only, which this does not count"
	if c.options.sure {
		how += ", with --sure neither"
	}
	return append(out, fmt.Sprintf(how, list.TolerancePercent))
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
		have, _ := preferred.TolerancePercent(series)
		if percent, _ := preferred.TolerancePercent(name); percent < have && finer == "" {
			finer = fmt.Sprintf("a finer series (--series %s) or ", name)
		}
	}
	return fmt.Sprintf("%smore values (--buy %d) may", finer, buy+1)
}

// undecidedWords say which ranges the limits leave undecided though the errors
// are within the class.
func undecidedWords(ranges []report.Range) []string {
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
func seriesNames() string { return strings.Join(preferred.Names(), ", ") }

// trimSpan is how far beyond the targets a bought value may lie: a hundred
// times more still trims in parallel, a hundredth in series, by one percent.
const trimSpan = 100

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
	series := preferred.SeriesOf(slices.Sorted(maps.Keys(distinct)))
	if usual, _ := preferred.TolerancePercent(series); usual > coarsest {
		return "E24"
	}
	return series
}
