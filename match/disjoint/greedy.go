package disjoint

import (
	"cmp"
	"slices"
)

// greedy fills the positions one after another, those with the dearest cheapest option first, each with its cheapest option
// that still fits. lists are sorted by cost.
func greedy(parts int, lists [][]option) choice {
	order := make([]int, len(lists))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(cheapest(lists[b]), cheapest(lists[a])) })
	used := make([]bool, parts)
	c := make(choice, len(lists))
	for _, i := range order {
		c[i] = firstFitting(lists[i], used)
		for _, part := range c[i].parts {
			used[part] = true
		}
	}
	return c
}

func cheapest(list []option) float64 {
	if len(list) == 0 {
		return open.cost
	}
	return list[0].cost
}

func firstFitting(list []option, used []bool) option {
	for _, o := range list {
		if !slices.ContainsFunc(o.parts, func(part int32) bool { return used[part] }) {
			return o
		}
	}
	return open
}
