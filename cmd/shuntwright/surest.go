package main

import (
	"context"
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/meter/budget"
)

// pickSurest is Stock.Pick, quicker where networks go by error plus limit: the
// networks with the smallest errors tell how good the answer is at least, and
// what has a larger error than that, less the smallest limit that there is,
// need not be looked at.
func pickSurest(ctx context.Context, stock *match.Stock, q match.Query) (match.Picked, error) {
	if q.Limit == nil {
		return stock.Pick(ctx, q)
	}
	plain := q
	plain.Limit = nil
	nearest, err := stock.Pick(ctx, plain)
	if err != nil {
		return nearest, err
	}
	if len(nearest.Choices) == q.Top && q.Within < 1 {
		const rounding = 1e-9
		worst := 0.0
		for _, choice := range nearest.Choices {
			worst = max(worst, math.Abs(choice.Error)+q.Limit(choice.Network)/q.Target)
		}
		least := q.LimitFloor / (1 - q.Within) // of the value
		q.Within = min(q.Within, worst-q.LimitFloor+rounding)
		q.LimitFloor = least * (1 - q.Within)
	}
	return stock.Pick(ctx, q)
}

// leastLimit is what the limit of a network of at most so many parts is at
// least, as a fraction of its value: that of its gain errors alone. The shares
// of the parts in a network's value add up to one, so errors that are not
// shared are least together where every part has a share in inverse proportion
// to the square of its gain error; where one dominates the factor is smallest.
func (b *bench) leastLimit(chosen []int, kept []leaf, parts int) float64 {
	gains := map[string]float64{}
	var own []float64
	meet := func(l leaf) {
		m := l.measured
		switch known, met := gains[m.Shared]; {
		case m.Shared == "":
			own = append(own, m.GainPercent)
		case !met || m.GainPercent < known:
			gains[m.Shared] = m.GainPercent
		}
	}
	for _, i := range chosen {
		meet(leaf{b.parts[i].ID, b.measured[i]})
	}
	for _, l := range kept {
		meet(l)
	}
	parts += len(kept)
	for _, gain := range gains {
		own = append(own, gain)
	}
	slices.Sort(own)
	sum := 0.0
	for _, gain := range own[:min(parts, len(own))] {
		sum += 1 / (gain * gain)
	}
	return budget.Combine([]budget.Source{{Half: 1 / math.Sqrt(sum)}}).Limit / 100
}
