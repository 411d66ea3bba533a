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
	p := picker{ctx: ctx, stock: s, order: order, lists: newStore(), proven: true}
	var found []scored
	if q.Resolution > 0 {
		found = p.bySize(q, criterion{Steps: q.Steps, UpTo: math.Inf(1)})
	} else if found = p.best(q, criterion{UpTo: math.Inf(1)}); q.Enough > 0 {
		good := p.bySize(q, criterion{UpTo: q.Enough})
		found = append(good, slices.DeleteFunc(found, func(c scored) bool { return c.score <= q.Enough })...)
	}
	out := match.Picked{Considered: network.Count(s.Len(), q.AtMost, q.Keeps()), Proven: p.proven}
	for _, c := range found[:min(q.Top, len(found))] {
		out.Choices = append(out.Choices, c.Choice)
	}
	return out
}

// picker looks for the best networks, and keeps the lists that it makes of the
// parts for that.
type picker struct {
	ctx    context.Context
	stock  *Stock
	order  []int32
	lists  store
	proven bool // the context has not ended
}

// bySize finds the best where steps count, and where a smaller network comes
// before a larger one of as many: once Top are found, what is larger must take
// fewer steps than the last of them. Where that takes none, nothing larger is
// looked at.
func (p *picker) bySize(q match.Query, r criterion) (found []scored) {
	most := q.AtMost
	for q.AtMost = q.Fewest; q.AtMost <= most && p.proven; q.AtMost++ {
		q.Fewest = q.AtMost
		found = append(found, p.best(q, r)...)
		slices.SortStableFunc(found, func(a, b scored) int { return cmp.Compare(q.Steps(a.score), q.Steps(b.score)) })
		if len(found) < q.Top {
			continue
		}
		found = found[:q.Top]
		steps := q.Steps(found[q.Top-1].score)
		if steps == 0 {
			break
		}
		r.UpTo = min(r.UpTo, max(steps*q.Resolution, q.Enough))
	}
	return found
}

// best lists the best networks by a criterion and what the query adds to it.
func (p *picker) best(q match.Query, r criterion) []scored {
	r.Target, r.Within, r.Top, r.Limit, r.LimitFloor, r.Wanted = q.Target, q.Within, q.Top, q.Limit, q.LimitFloor, q.Wanted
	k := newRanking(r)
	err := walk(p.ctx, p.stock.request(q.Need, p.order, q.Fewest), k, &p.lists)
	p.proven = p.proven && err == nil
	return k.first()
}
