package main

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
	"shuntwright/match/buy"
	"shuntwright/match/network"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// shoppingTime is how long the search for what to buy may take where no
// --time-limit is given; what it has by then is said to be not proven.
const shoppingTime = 30 * time.Second

// trimSpan is how far beyond the targets a bought value may lie: a hundred
// times more still trims in parallel, a hundredth in series, by one percent.
const trimSpan = 100

// shop looks for the fewest pieces of preferred values that bring every range
// within the class, in a time of its own.
func (c *call) shop(s *setup, made *planned) error {
	if !c.flags.Changed("buy") || len(made.question.Open) == 0 {
		return nil
	}
	q, list := made.question, &shopping{Series: c.options.series, Ohms: []float64{}}
	if list.Series == "" {
		list.Series = s.markedSeries()
	}
	var err error
	if list.TolerancePercent, err = quantity.SeriesTolerance(list.Series); err != nil {
		return err
	}
	limit := c.options.timeLimit
	if limit == 0 {
		limit = shoppingTime
	}
	ctx, stop := context.WithTimeout(c.ctx, limit)
	defer stop()
	first, stop := plan.ShareOf(ctx, asRated)
	defer stop()
	bought, err := c.buyOf(first, s, q, way{c.options.parts, list.Series, 1})
	if err != nil {
		return err
	}
	list.Found, list.Proven, list.timeUp = bought.Found, bought.Proven, first.Err() != nil
	list.Items = c.boughtItems(s, q, bought, 1)
	if bought.Found {
		list.Ohms = append(list.Ohms, bought.Values...)
		list.Worst = report.Some(bought.Plan.Worst)
	} else if err = c.otherwise(ctx, s, q, list); err != nil {
		return err
	}
	made.shopping, made.buying = list, s.shoppingTable(q, bought, list)
	return nil
}

// asRated is the share of the time for what is asked; the rest is for what would do
// instead.
const asRated = 0.6

// way is what may be bought and how it may be put in: parts a position, a series,
// and how many times as much as what can be had it bears.
type way struct {
	parts  int
	series string
	times  float64
}

// buyOf looks for the fewest pieces in one way.
func (c *call) buyOf(ctx context.Context, s *setup, q *plan.Question, w way) (buy.Bought, error) {
	p := q.Problem
	p.Needs = slices.Clone(p.Needs)
	low, high := math.Inf(1), 0.0
	for i, n := range p.Needs {
		low, high = min(low, n.Target/trimSpan), max(high, n.Target*trimSpan)
		p.Needs[i].AtMost = w.parts
	}
	values, err := quantity.PreferredValues(w.series, low, high)
	if err != nil {
		return buy.Bought{}, err
	}
	offer := buy.Offer{Values: values, Bears: func(ohms float64) float64 { return c.toBeHad(ohms, w.times, s.class(c)) }}
	return buy.Fewest(ctx, q.Stock, p, offer, c.options.buy, s.class(c))
}

// instead is what would do where what was asked does not, in JSON: with more parts
// a position and in a finer series, or with parts of higher ratings.
type instead struct {
	Parts  int          `json:"parts"`
	Series string       `json:"series"`
	Items  []boughtItem `json:"items"`
}

// fineSeries is what is to be had of a finer series nearly everywhere.
const fineSeries = "E96"

// otherwise looks for what would do where no set of parts that can be had does:
// more of them a position, then of a finer series too; and the lowest of a few
// ratings, each twice the one before.
func (c *call) otherwise(ctx context.Context, s *setup, q *plan.Question, list *shopping) error {
	most := c.options.parts
	var ways []way
	for parts := most + 1; parts <= network.MaxParts; parts++ {
		ways = append(ways, way{parts, list.Series, 1})
	}
	if percent, _ := quantity.SeriesTolerance(fineSeries); percent < list.TolerancePercent {
		ways = append(ways, way{network.MaxParts, fineSeries, 1})
	}
	for _, times := range []float64{2, 4, 8, 16, math.Inf(1)} {
		ways = append(ways, way{most, list.Series, times})
	}
	for k, w := range ways {
		to, share := &list.Ordinary, 0.4
		if w.times > 1 {
			to, share = &list.Stronger, 1/float64(len(ways)-k)
		}
		if *to != nil || ctx.Err() != nil {
			continue
		}
		one, stop := plan.ShareOf(ctx, share)
		bought, err := c.buyOf(one, s, q, w)
		if stop(); err != nil {
			return err
		}
		if bought.Found {
			*to = &instead{w.parts, w.series, c.boughtItems(s, q, bought, w.times)}
		}
	}
	return nil
}

// toBeHad is the largest current, in amperes, at full scale of a range that reads
// true, that a part as sold may carry, if its ratings were so many times as high:
// by the derated share of its watts, and so that a range which reads high by the
// whole class, in percent, takes it neither beyond its watts nor beyond its
// limiting element voltage.
func (c *call) toBeHad(ohms, times, class float64) float64 {
	o := &c.options
	watts, volts := times*o.buyWatts.base(), times*o.buyVolts.base()
	return min(math.Sqrt(asbuilt.Share(o.derate)*watts/ohms), math.Sqrt(watts/ohms)/loaded(class), volts/ohms/loaded(class))
}

// loaded is how many times its current at full scale a part may carry where ranges
// are off by so many percent.
func loaded(percent float64) float64 { return 1 + 1.1*percent/100 }

// boughtItems are the pieces of a choice with what each must bear: its
// dissipation at full scale over the derated share, and the voltage across it.
// That is of the current that the search holds parts against, and of the one that
// flows with these values, whichever is larger; and there is room for any other plan
// with the same pieces whose ranges are within the class. What the first of these
// asks can be had; the little more that the others ask of the derated share is not
// counted beyond the watts that can be had.
func (c *call) boughtItems(s *setup, q *plan.Question, bought buy.Bought, times float64) []boughtItem {
	if !bought.Found {
		return nil
	}
	var items []boughtItem
	whole := s.Ohms()
	for slot, n := range bought.Plan.Networks {
		whole[q.Open[slot]] = n.Value()
	}
	carried := s.Meter.Predict(whole).Positions
	more := loaded(q.Problem.Order().Class)
	for slot, n := range bought.Plan.Networks {
		need := q.Problem.Needs[slot] // what the search holds the network against
		w := asbuilt.WireTree(n.Tree(), func(part int) wiring.Network { return wiring.Network{ID: strconv.Itoa(part)} }, wiring.Network{ID: "kept"})
		var ohms []float64
		var is []bool // bought, by leaf
		for _, l := range w.Leaves() {
			x, piece := need.Keep, false // what stays, which has no number
			if part, err := strconv.Atoi(l.ID); err == nil {
				x, piece = s.pieceOf(q, bought, part)
			}
			ohms, is = append(ohms, x), append(is, piece)
		}
		amperes, _ := w.Shares(ohms)
		whole := (1 + match.Guard) * max(carried[q.Open[slot]].Amperes, mostOf(more*need.Flow, need.Drop/n.Value()))
		for k, x := range ohms {
			if flow := amperes[k] * whole; is[k] {
				watts := min(flow*flow*x/c.options.derate, times*c.options.buyWatts.base())
				items = counted(items, boughtItem{x, 1, watts, flow * x, s.Positions[q.Open[slot]].Name})
			}
		}
	}
	slices.SortStableFunc(items, func(a, b boughtItem) int { return cmp.Compare(a.Ohms, b.Ohms) })
	return items
}

// pieceOf is the value of a part of the plan with what is bought, and whether
// it is one of that.
func (s *setup) pieceOf(q *plan.Question, bought buy.Bought, part int) (ohms float64, piece bool) {
	if part >= len(q.Chosen) {
		return bought.Values[part-len(q.Chosen)], true
	}
	return s.Measured[q.Chosen[part]].Ohms, false
}

// counted adds a piece to the line of its value, with the most that any of them
// must bear.
func counted(items []boughtItem, one boughtItem) []boughtItem {
	i := slices.IndexFunc(items, func(item boughtItem) bool { return item.Ohms == one.Ohms })
	if i < 0 {
		return append(items, one)
	}
	it := &items[i]
	it.Count++
	if one.Watts > it.Watts || one.Volts > it.Volts {
		it.Position = one.Position
	}
	it.Watts, it.Volts = max(it.Watts, one.Watts), max(it.Volts, one.Volts)
	return items
}

// counterWords are the items as they are asked for over a counter; ratings are
// rounded up.
func counterWords(items []boughtItem) string {
	var out []string
	for _, it := range items {
		out = append(out, fmt.Sprintf("%d x %s, at least %s and %s", it.Count, quantity.AsSold(it.Ohms),
			quantity.Format(roundUp(it.Watts, 2), quantity.Watt, 2), quantity.Format(roundUp(it.Volts, 2), quantity.Volt, 2)))
	}
	return report.List(out)
}
