package sat

import (
	"cmp"
	"math"
	"slices"
)

// dual is a dual solution of the relaxation in whole numbers: it gives every
// item a price, the sum of the relaxation's rows each times a factor, such that
// the items of any choice cost together at most worth. What an item costs above
// the cheapest of its group is its reduced cost.
type dual struct {
	price  []int64
	worth  int64
	sorted [][]int32 // the items of each group, cheap ones first
}

// sort puts the items of each group in the order of their prices.
func (t *dual) sort(groups [][]int32) {
	for _, items := range groups {
		items = slices.Clone(items)
		slices.SortFunc(items, func(a, b int32) int { return cmp.Or(cmp.Compare(t.price[a], t.price[b]), cmp.Compare(a, b)) })
		t.sorted = append(t.sorted, items)
	}
}

// duals is how many dual solutions are kept at a time. Without any, published
// instances take 10 times as long, one of them over 90 times; with one no less;
// with 6, 1.3 times.
const duals = 24

// fix draws the conclusions from the dual solutions (reduced-cost fixing):
// where the cheapest items of all groups cost more than the worth there is no
// choice, and an item whose reduced cost is more than what is left is ruled
// out. It returns false on failure; changed tells whether items were ruled out.
func (s *search) fix() (ok, changed bool) {
	for _, t := range s.duals {
		rest := s.leastPrices(t)
		if rest < 0 {
			s.conflict = s.blame(s.conflict[:0], t, -1, int32(len(s.trail)))
			return false, false
		}
		why := reason{kind: byPrice, by: t, of: int32(len(s.trail))}
		for g, items := range t.sorted {
			for k := len(items) - 1; k >= 0 && t.price[items[k]] > s.least[g]+rest; k-- {
				if s.value[items[k]] == unknown {
					s.assign(leave(items[k]), why)
					changed = true
				}
			}
		}
		if changed {
			return true, true
		}
	}
	return true, false
}

// leastPrices puts into least what the cheapest item left of each group costs,
// and returns how much more the worth is than the cheapest of all groups
// together.
func (s *search) leastPrices(t *dual) int64 {
	rest := t.worth
	for g, items := range t.sorted {
		low := int64(math.MaxInt64)
		if item := s.pick[g]; item >= 0 {
			low = t.price[item]
		} else {
			for _, item := range items {
				if s.value[item] != ruledOut {
					low = t.price[item]
					break
				}
			}
		}
		s.least[g] = low
		rest -= low
	}
	return rest
}

// blame appends the items ruled out before a place in the trail that are
// cheaper than the cheapest left then of their group: had they been left, the
// cheapest items would not have cost too much. Group but does not count.
func (s *search) blame(list []literal, t *dual, but, before int32) []literal {
	for g, items := range t.sorted {
		if int32(g) == but {
			continue
		}
		n := slices.IndexFunc(items, func(item int32) bool { return s.value[item] != ruledOut || s.place[item] >= before })
		low := int64(math.MaxInt64)
		if n < 0 {
			n = len(items)
		} else {
			low = t.price[items[n]]
		}
		for _, item := range items[:n] {
			if t.price[item] < low && s.level[item] > 0 {
				list = append(list, take(item))
			}
		}
	}
	return list
}
