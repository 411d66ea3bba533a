package enumerate

import (
	"context"
	"fmt"

	"shuntwright/match"
	"shuntwright/match/network"
)

// Pick returns the best networks for a target: smallest |error| (plus limit)
// first; where those differ by less than 1e-11 of the target, fewer parts
// first, then the parts' order in the drawer. Differences are counted from the
// smallest one of a group, so that the order has no cycles.
//
// An error means that the query cannot be asked; a context that ends is none.
func (s *Stock) Pick(ctx context.Context, q match.Query) (match.Picked, error) {
	if err := q.Validate(); err != nil {
		return match.Picked{}, fmt.Errorf("pick: %w", err)
	}
	order, err := s.only(q.Only)
	if err != nil {
		return match.Picked{}, fmt.Errorf("pick: %w", err)
	}
	if q.Limit == nil && q.Wanted == nil {
		// One of m equal parts used beyond the first Top+m-1 of them can be
		// replaced by Top unused earlier ones, each making a network that comes
		// before; so the later ones are never wanted.
		order = s.firsts(order, min(q.Top, len(order))+q.AtMost-1)
	}
	return s.pick(ctx, q, order), nil
}

// pick answers a valid query from parts that are ascending by value.
func (s *Stock) pick(ctx context.Context, q match.Query, order []int32) match.Picked {
	best := newRanking(Rule{Target: q.Target, Within: q.Within, Top: q.Top, Limit: q.Limit, LimitFloor: q.LimitFloor, Wanted: q.Wanted})
	err := Walk(ctx, s.request(q.Need, order, q.Fewest), best)
	return match.Picked{Choices: best.Choices(), Considered: network.Count(s.Len(), q.AtMost, q.Keeps()), Proven: err == nil}
}
