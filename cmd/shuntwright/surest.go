package main

import (
	"context"
	"math"

	"shuntwright/match"
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
