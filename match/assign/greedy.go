package assign

import (
	"cmp"
	"context"
	"slices"

	"shuntwright/match"
	"shuntwright/match/assign/sat"
)

// few is how many of the cheapest candidates of each position a first choice is
// sought among: with all of them lists of 40 000 take 600 times as long.
const few = 64

// start returns the options of each position that can be in the best choice, by
// cost, and a first choice of them.
func start(ctx context.Context, p Problem) ([][]option, choice) {
	c, limit := p.first(), open.cost
	if c == nil {
		if c = pick(ctx, p); c.filled() == len(c) && c.points() == 0 {
			limit = max(c.worst()+match.Equal, p.Enough*(1+match.Guard)) // dearer ones can be forgotten before they are even sorted: 1.4 times faster
		}
	}
	lists := make([][]option, len(p.Positions))
	for i, list := range p.Positions {
		for j, x := range list {
			if x.Cost <= limit {
				lists[i] = append(lists[i], x.option(j))
			}
		}
		lists[i] = append(thin(lists[i]), open)
	}
	for i, o := range c {
		c[i] = lists[i][slices.IndexFunc(lists[i], o.replacedBy)]
	}
	return lists, improve(ctx, c, free(lists), p.Parts)
}

func (c Candidate) option(index int) option {
	return option{parts: c.Parts, cost: c.Cost, index: int32(index), points: c.Points, worth: c.Cost}
}

// first returns the choice to start from, nil if none is given.
func (p Problem) first() choice {
	var c choice
	for i, j := range p.First {
		o := open
		if j >= 0 {
			o = p.Positions[i][j].option(j)
		}
		c = append(c, o)
	}
	return c
}

// pick chooses among the cheapest few of each position, or among more where
// these do not do to fill all.
func pick(ctx context.Context, p Problem) choice {
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
	return c
}

// replacedBy tells whether x fits wherever o does and costs no more.
func (o option) replacedBy(x option) bool {
	if o.isOpen() || x.isOpen() {
		return o.isOpen() && x.isOpen()
	}
	return byWorth(x, o) <= 0 && !slices.ContainsFunc(x.parts, func(part int32) bool { return !slices.Contains(o.parts, part) })
}

// cheapest returns the n cheapest of a position's candidates, by cost.
func cheapest(list []Candidate, n int) []option {
	var kept []option
	for j, c := range list {
		o := c.option(j)
		if len(kept) == n && byWorth(o, kept[n-1]) >= 0 {
			continue
		}
		at, _ := slices.BinarySearchFunc(kept, o, byCost)
		kept = slices.Insert(kept, at, o)
		kept = kept[:min(len(kept), n)]
	}
	return kept
}

// thin sorts options by cost and drops those that can never be in the best
// choice: where another has the same parts, or some of them, and costs no more.
// It saves a seventh of the time.
func thin(list []option) []option {
	slices.SortFunc(list, byCost) // of equal costs, small sets first
	seen := make(sat.Subsets, len(list))
	return slices.DeleteFunc(list, func(o option) bool { return seen.Covers(o.parts) })
}

// greedy fills the positions one after another, those with the dearest cheapest
// option first, each with its cheapest option that still fits. lists are sorted
// by cost.
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
