package plan

import (
	"context"
	"math"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/network"
)

// Likeness tells which choices are equal: those within so many percent.
type Likeness struct {
	Percent float64 // NaN: none are
	cost    func(match.Choice) float64
}

// Marks are the choices that are equal, where these are more than one.
func (l Likeness) Marks(choices []match.Choice) []bool {
	out, marked := make([]bool, len(choices)), 0
	for k, choice := range choices {
		if out[k] = l.cost(choice) <= l.Percent; out[k] {
			marked++
		}
	}
	if marked < 2 {
		clear(out)
	}
	return out
}

// Stepped tells whether two of the choices are in the same step of the query's
// resolution.
func (l Likeness) Stepped(q match.Query, choices []match.Choice) bool {
	seen := map[float64]bool{}
	for _, choice := range choices {
		seen[q.Steps(l.cost(choice)/100)] = true
	}
	return q.Resolution > 0 && len(seen) < len(choices)
}

// Pick finds the best networks, and tells which of them are equal: within what
// Enough says or, where it says nothing, within what the measurements can
// tell from the first. With either those go by fewer parts.
func Pick(ctx context.Context, asked asbuilt.Asked, stock *enumerate.Stock, q match.Query, limitOf func(network.Network) float64) (match.Picked, Likeness, error) {
	alike := Likeness{math.NaN(), func(choice match.Choice) float64 {
		cost := 100 * math.Abs(choice.Error)
		if asked.Sure {
			cost += limitOf(choice.Network) * choice.Network.Value() / q.Target
		}
		return cost
	}}
	q.Enough = asked.Enough / 100
	picked, err := pickSurest(ctx, stock, q)
	if err != nil || len(picked.Choices) == 0 {
		return picked, alike, err
	}
	first := picked.Choices[0]
	alike.Percent = 100*math.Abs(first.Error) + limitOf(first.Network)
	if asked.Enough > 0 {
		alike.Percent = asked.Enough
	}
	if asked.EnoughMeasured {
		q.Enough = alike.Percent / 100
		picked, err = pickSurest(ctx, stock, q)
	}
	return picked, alike, err
}

// pickSurest is Stock.Pick, quicker where networks go by error plus limit: the
// networks with the smallest errors tell how good the answer is at least, and
// what has a larger error than that, less the smallest limit that there is,
// need not be looked at.
func pickSurest(ctx context.Context, stock *enumerate.Stock, q match.Query) (match.Picked, error) {
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
		worst = max(worst, q.Enough)
		if q.Resolution > 0 { // what is in the same step may come before
			worst = max(worst, (q.Steps(worst)+1)*q.Resolution)
		}
		least := q.LimitFloor / (1 - q.Within) // of the value
		q.Within = min(q.Within, worst-q.LimitFloor+rounding)
		q.LimitFloor = least * (1 - q.Within)
	}
	return stock.Pick(ctx, q)
}
