package branch

import (
	"math"
	"slices"

	"shuntwright/match/branch/node"
)

// fewest returns the smallest number of parts of the plans that keep to the
// goal, or -1 if it ended before that was proven.
func (s *solver) fewest(g node.Goal) int {
	for g.Parts = s.Best.Parts - 1; ; g.Parts = s.Best.Parts - 1 {
		if s.any(g) {
			continue
		}
		if !s.complete {
			return -1
		}
		return g.Parts + 1
	}
}

// firstParts settles slot by slot the candidate that comes first in the
// drawer's order. It tells whether it came to the end.
func (s *solver) firstParts(g node.Goal) bool {
	lists := slices.Clone(s.lists)
	for i := range lists {
		t := &s.Tables[i]
		order := slices.Clone(lists[i])
		slices.SortFunc(order, t.ByParts)
		low, high := 0, place(order, s.Best.Chosen[i])
		for s.search.Hold(i, true); low < high; {
			mid := (low + high) / 2
			lists[i] = slices.Sorted(slices.Values(order[low : mid+1]))
			if s.ask(g, lists, math.MaxInt) {
				high = place(order, s.Best.Chosen[i])
			} else if !s.complete {
				return false
			} else {
				low = mid + 1
			}
		}
		s.search.Hold(i, high < len(order))
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
