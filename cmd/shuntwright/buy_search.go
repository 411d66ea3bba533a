package main

import (
	"context"
	"math"
	"slices"
	"time"

	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/nominal"
	"shuntwright/match/buy"
	"shuntwright/match/network"
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
	if list.TolerancePercent, err = nominal.TolerancePercent(list.Series); err != nil {
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
	values, err := nominal.Values(w.series, low, high)
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
	if percent, _ := nominal.TolerancePercent(fineSeries); percent < list.TolerancePercent {
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
