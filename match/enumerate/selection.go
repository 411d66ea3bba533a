package enumerate

import (
	"context"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
)

// Selection is those of a stock's networks that a plan, which uses no part twice,
// may want.
type Selection struct {
	stock  *Stock
	order  []int32 // the parts that may be wanted
	equals []int32 // of each part, the one before it among its equals, -1 if there is none; nil: equality is not used
}

// All selects everything.
func (s *Stock) All() Selection { return Selection{stock: s, order: s.order} }

// Few selects what a plan of so many parts in all may want, where equal parts
// may stand for one another: neighbours among these, from the first on.
func (s *Stock) Few(total int) Selection {
	// All positions together use at most total of any equal parts, and if not
	// the first ones, then these could be put in their place.
	return Selection{s, s.firsts(s.order, total), s.alike().before}
}

// wanted reports whether a network takes neighbours of any equal parts. Those
// that a plan takes can be dealt out again in the order of the positions, which
// changes no value and brings no part later in the drawer's order; then every
// position has neighbours. So other networks need not be looked at.
func (s Selection) wanted(n network.Network) bool {
	if s.equals == nil {
		return true
	}
	set := n.Set()
	parts := set[:n.Size()]
	for k, p := range parts {
		if before := s.equals[p]; before >= 0 && !slices.Contains(parts[:k], before) && s.hasEqual(parts[:k], p) {
			return false
		}
	}
	return true
}

func (s Selection) hasEqual(parts []int32, p int32) bool {
	return slices.ContainsFunc(parts, func(q int32) bool { return s.stock.parts[q] == s.stock.parts[p] })
}

// Nearest returns the top networks of the selection, with at least the fewest
// parts, nearest to the target of a need. The need and the numbers must be valid
// as in a Query.
func (s Selection) Nearest(ctx context.Context, n match.Need, fewest, top int) match.Picked {
	return s.stock.pick(ctx, match.Query{Need: n, Top: top, Fewest: fewest, Wanted: s.wanted}, s.order)
}

// Len returns how many parts the selection has; none only of a stock without.
func (s Selection) Len() int { return len(s.order) }

// Value returns the value of the k-th smallest part of the selection.
func (s Selection) Value(k int) float64 { return s.stock.values[s.order[k]] }

// Reach returns the least and the greatest value that a network for a need may
// have, by its window and by the values of the parts.
func (s Selection) Reach(n match.Need) (lo, hi float64) {
	return n.Span(s.Value(0), s.Value(s.Len()-1))
}
