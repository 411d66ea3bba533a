package branch

import (
	"math"
	"slices"
)

// fewest returns the smallest number of parts of the plans that keep to the
// goal, or -1 if it ended before that was proven.
func (s *solver) fewest(g goal) int {
	for g.parts = s.best.parts - 1; ; g.parts = s.best.parts - 1 {
		if s.any(g) {
			continue
		}
		if !s.complete {
			return -1
		}
		return g.parts + 1
	}
}

// firstParts settles slot by slot the candidate that comes first in the
// drawer's order. It tells whether it came to the end.
func (s *solver) firstParts(g goal) bool {
	lists := slices.Clone(s.lists)
	for i := range lists {
		t := &s.tables[i]
		order := slices.Clone(lists[i])
		slices.SortFunc(order, t.byParts)
		low, high := 0, place(order, s.best.chosen[i])
		for s.search.hold(i, true); low < high; {
			mid := (low + high) / 2
			lists[i] = slices.Sorted(slices.Values(order[low : mid+1]))
			if s.ask(g, lists, math.MaxInt) {
				high = place(order, s.best.chosen[i])
			} else if !s.complete {
				return false
			} else {
				low = mid + 1
			}
		}
		s.search.hold(i, high < len(order))
		lists[i] = order[high:min(high+1, len(order))]
	}
	return true
}

// place returns where c stands in order; an open slot stands behind the last.
func place(order []int32, c int32) int {
	if i := slices.Index(order, c); i >= 0 {
		return i
	}
	return len(order)
}
