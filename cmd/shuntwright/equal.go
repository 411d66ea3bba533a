package main

import (
	"context"
	"fmt"
	"math"
	"slices"

	"shuntwright/match"
)

// likeness tells which choices are equal: those within so many percent.
type likeness struct {
	percent float64 // NaN: none are
	cost    func(match.Choice) float64
}

func (l likeness) good(choice match.Choice) bool { return l.cost(choice) <= l.percent }

// marks are the choices that are equal, where these are more than one.
func (l likeness) marks(choices []match.Choice) []bool {
	out, marked := make([]bool, len(choices)), 0
	for k, choice := range choices {
		if out[k] = l.good(choice); out[k] {
			marked++
		}
	}
	if marked < 2 {
		clear(out)
	}
	return out
}

// pick finds the best networks, and tells which of them are equal: within what
// --enough says or, where it says nothing, within what the measurements can
// tell from the first. With --enough those go by fewer parts.
func (c *call) pick(ctx context.Context, stock *match.Stock, q match.Query, limitOf func(match.Network) float64) (match.Picked, likeness, error) {
	alike := likeness{math.NaN(), func(choice match.Choice) float64 {
		cost := 100 * math.Abs(choice.Error)
		if c.options.sure {
			cost += limitOf(choice.Network) * choice.Network.Value() / q.Target
		}
		return cost
	}}
	picked, err := pickSurest(ctx, stock, q)
	if err != nil || len(picked.Choices) == 0 {
		return picked, alike, err
	}
	first := picked.Choices[0]
	alike.percent = figure{100 * first.Error, limitOf(first.Network)}.alike()
	if given := float64(c.options.enough.percent); given > 0 {
		alike.percent = given
	}
	if c.options.enough.given() {
		picked, err = fewestFirst(ctx, stock, q, picked, alike)
	}
	return picked, alike, err
}

// fewestFirst lists the networks that are good enough by fewer parts, each
// number's as the search ranks them, before those that are not. Where fewer
// than Top smaller ones are good enough, the Top best of at most so many parts
// hold as many with that number as are still wanted; so one search for each
// number finds all. A kept value alone has none.
func fewestFirst(ctx context.Context, stock *match.Stock, q match.Query, all match.Picked, alike likeness) (match.Picked, error) {
	out := match.Picked{Considered: all.Considered, Proven: all.Proven}
	for parts := 0; parts <= q.AtMost && len(out.Choices) < q.Top; parts++ {
		smaller := q
		smaller.AtMost = max(1, parts)
		found, err := pickSurest(ctx, stock, smaller)
		if err != nil {
			return out, err
		}
		out.Proven = out.Proven && found.Proven
		for _, choice := range found.Choices {
			if choice.Network.Size() == parts && alike.good(choice) {
				out.Choices = append(out.Choices, choice)
			}
		}
	}
	for _, choice := range all.Choices {
		if !alike.good(choice) {
			out.Choices = append(out.Choices, choice)
		}
	}
	out.Choices = out.Choices[:min(q.Top, len(out.Choices))]
	return out, nil
}

// pickClosing says what is equal, and how to have the fewest parts first.
func (c *call) pickClosing(equals []bool, alike likeness) []string {
	switch {
	case c.options.enough.measured && isNumber(alike.percent):
		return []string{fmt.Sprintf("--enough measured: errors within %.2g %%, the smallest and its limit, are equal, since the measurements cannot tell which is better; fewer parts first", alike.percent)}
	case c.options.enough.given() && isNumber(alike.percent):
		return []string{fmt.Sprintf("errors within --enough %g %% are equal; fewer parts first", alike.percent)}
	case slices.Contains(equals, true):
		return []string{fmt.Sprintf("equal: within %.2g %%, the smallest error and its limit, so that the measurements cannot tell which is better; --enough measured lists fewer parts first", alike.percent)}
	}
	return nil
}
