package assign

import (
	"cmp"
	"context"
	"slices"

	"shuntwright/match"
)

// few is how many of the cheapest candidates of each position a first choice is sought among.
const few = 64

// start returns the options of each position that can be in the best choice, by cost, and a first choice of them. If the cheapest
// few do to fill every position, dearer options than the worst of these, or than what is good enough, can be forgotten before they
// are even sorted.
func start(ctx context.Context, p Problem) ([][]option, choice) {
	lists := make([][]option, len(p.Positions))
	c := make(choice, 0)
	for n, all := few, false; !all && c.filled() < len(lists); n *= 8 {
		all = true
		for i, list := range p.Positions {
			lists[i] = append(cheapest(list, n), open)
			all = all && len(list) <= n
		}
		c = improve(ctx, greedy(p.Parts, lists), free(lists), p.Parts)
	}
	limit := open.cost
	if c.filled() == len(lists) {
		limit = max(c.worst()+match.Equal, p.Enough)
	}
	for i, list := range p.Positions {
		lists[i] = nil
		for j, x := range list {
			if x.Cost <= limit {
				lists[i] = append(lists[i], option{parts: x.Parts, cost: x.Cost, index: int32(j)})
			}
		}
		lists[i] = append(thin(lists[i]), open)
	}
	for i, o := range c {
		c[i] = lists[i][slices.IndexFunc(lists[i], o.replacedBy)]
	}
	return lists, improve(ctx, c, free(lists), p.Parts)
}

// replacedBy tells whether x fits wherever o does and costs no more.
func (o option) replacedBy(x option) bool {
	if o.isOpen() || x.isOpen() {
		return o.isOpen() && x.isOpen()
	}
	return x.cost <= o.cost && !slices.ContainsFunc(x.parts, func(part int32) bool { return !slices.Contains(o.parts, part) })
}

// cheapest returns the n cheapest of a position's candidates, by cost.
func cheapest(list []Candidate, n int) []option {
	var kept []option
	for j, c := range list {
		if len(kept) == n && c.Cost >= kept[n-1].cost {
			continue
		}
		o := option{parts: c.Parts, cost: c.Cost, index: int32(j)}
		at, _ := slices.BinarySearchFunc(kept, o, byCost)
		kept = slices.Insert(kept, at, o)
		kept = kept[:min(len(kept), n)]
	}
	return kept
}

// greedy fills the positions one after another, those with the dearest cheapest option first, each with its cheapest option
// that still fits. lists are sorted by cost.
func greedy(parts int, lists [][]option) choice {
	order := make([]int, len(lists))
	for i := range order {
		order[i] = i
	}
	least := func(i int) float64 {
		if len(lists[i]) == 0 {
			return open.cost
		}
		return lists[i][0].cost
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(least(b), least(a)) })
	t := newTable(parts)
	c := make(choice, len(lists))
	for _, i := range order {
		c[i] = open
		if k := slices.IndexFunc(lists[i], t.free); k >= 0 {
			c[i] = lists[i][k]
		}
		t.put(i, c[i])
	}
	return c
}

// table tells which position has each part: position+1, 0 for none.
type table []int32

func newTable(parts int) table { return make(table, parts) }

func (t table) put(i int, o option) {
	for _, part := range o.parts {
		t[part] = int32(i) + 1
	}
}

func (t table) take(o option) {
	for _, part := range o.parts {
		t[part] = 0
	}
}

func (t table) free(o option) bool {
	return !slices.ContainsFunc(o.parts, func(part int32) bool { return t[part] != 0 })
}
