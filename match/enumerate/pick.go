package enumerate

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
)

// Pick returns the best networks for a target: smallest |error| (plus limit)
// first; where those differ by less than 1e-11 of the target, fewer parts
// first, then the parts' order in the drawer. Differences are counted from the
// smallest one of a group, so that the order has no cycles. With a Resolution
// the number of steps comes first, and then fewer parts.
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
	var found []scored
	var err error
	if q.Resolution > 0 || q.Enough > 0 {
		found, err = s.bySize(ctx, q, order)
	}
	if q.Resolution == 0 && len(found) < q.Top && err == nil {
		var all []scored
		all, err = s.rank(ctx, q, order, Rule{UpTo: math.Inf(1)})
		found = append(found, slices.DeleteFunc(all, func(c scored) bool { return q.Enough > 0 && c.score <= q.Enough })...)
	}
	out := match.Picked{Considered: network.Count(s.Len(), q.AtMost, q.Keeps()), Proven: err == nil}
	for _, c := range found[:min(q.Top, len(found))] {
		out.Choices = append(out.Choices, c.Choice)
	}
	return out
}

// bySize finds the best where steps count, and where a smaller network comes
// before a larger one of as many: once Top are found, what is larger must take
// fewer steps than the last of them. Where that takes none, nothing larger is
// looked at. Without a Resolution it finds what is within Enough.
func (s *Stock) bySize(ctx context.Context, q match.Query, order []int32) (found []scored, err error) {
	rule := Rule{Steps: q.Steps, UpTo: math.Inf(1)}
	if q.Resolution == 0 {
		rule.UpTo = q.Enough
	}
	most := q.AtMost
	for q.AtMost = q.Fewest; q.AtMost <= most && err == nil; q.AtMost++ {
		var more []scored
		q.Fewest = q.AtMost
		more, err = s.rank(ctx, q, order, rule)
		found = append(found, more...)
		slices.SortStableFunc(found, func(a, b scored) int { return cmp.Compare(q.Steps(a.score), q.Steps(b.score)) })
		if len(found) < q.Top {
			continue
		}
		found = found[:q.Top]
		steps := q.Steps(found[q.Top-1].score)
		if steps == 0 {
			break
		}
		rule.UpTo = min(rule.UpTo, max(steps*q.Resolution, q.Enough))
	}
	return found, err
}

// rank lists the best networks by the rule, and by what the query adds to it.
func (s *Stock) rank(ctx context.Context, q match.Query, order []int32, r Rule) ([]scored, error) {
	r.Target, r.Within, r.Top, r.Limit, r.LimitFloor, r.Wanted = q.Target, q.Within, q.Top, q.Limit, q.LimitFloor, q.Wanted
	best := newRanking(r)
	err := Walk(ctx, s.request(q.Need, order, q.Fewest), best)
	return best.first(), err
}
