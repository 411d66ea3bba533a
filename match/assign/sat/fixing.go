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
	live   [][]int32 // of these, the ones not ruled out from the beginning
	as     int       // of which beginning
}

// sort puts the items of each group in the order of their prices.
func (t *dual) sort(groups [][]int32) {
	for _, items := range groups {
		items = slices.Clone(items)
		slices.SortFunc(items, func(a, b int32) int { return cmp.Or(cmp.Compare(t.price[a], t.price[b]), cmp.Compare(a, b)) })
		t.sorted = append(t.sorted, items)
		t.live = append(t.live, make([]int32, 0, len(items)))
	}
}

// refresh sees to live.
func (t *dual) refresh(s *search) {
	if t.as == s.beginning {
		return
	}
	t.as = s.beginning
	for g, items := range t.sorted {
		t.live[g] = t.live[g][:0]
		for _, item := range items {
			if s.value[item] != ruledOut || s.level[item] > 0 {
				t.live[g] = append(t.live[g], item)
			}
		}
	}
}

// fixing is what items were ruled out by at one time: a dual solution, and the
// length of the trail before.
type fixing struct {
	t     *dual
	since int32
	stamp int   // the failure in which it was last explained
	but   int32 // the group that was left out then; -1: none
}

const duals = 24 // kept at a time

// fix draws the conclusions from the dual solutions (reduced-cost fixing):
// where the cheapest items of all groups cost more than the worth there is no
// choice, and an item whose reduced cost is more than what is left is ruled
// out. It returns false on failure; changed tells whether items were ruled out.
func (s *search) fix() (ok, changed bool) {
	for k, t := range s.duals {
		rest := s.leastPrices(t)
		if rest < 0 {
			s.conflict = s.blame(s.conflict[:0], t, -1, int32(len(s.trail)))
			s.first(k)
			return false, false
		}
		before := len(s.trail)
		var by *fixing
		for g, items := range t.live {
			for k := len(items) - 1; k >= 0 && t.price[items[k]] > s.least[g]+rest; k-- {
				if s.value[items[k]] != unknown {
					continue
				}
				if by == nil {
					by = &fixing{t: t, since: int32(before)}
				}
				s.assign(leave(items[k]), reason{kind: byPrice, by: by})
			}
		}
		if len(s.trail) > before {
			s.first(k)
			return true, true
		}
	}
	return true, false
}

// first moves dual solution k to the front.
func (s *search) first(k int) {
	t := s.duals[k]
	copy(s.duals[1:k+1], s.duals[:k])
	s.duals[0] = t
}

// keep adds a dual solution in front and drops the last where there are too many.
func (s *search) keep(t *dual) {
	if len(s.duals) < duals {
		s.duals = append(s.duals, nil)
	}
	copy(s.duals[1:], s.duals)
	s.duals[0] = t
}

// leastPrices puts into least what the cheapest item left of each group costs,
// and returns how much more the worth is than the cheapest of all groups
// together.
func (s *search) leastPrices(t *dual) int64 {
	t.refresh(s)
	rest := t.worth
	for g, items := range t.live {
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
	for g := range s.groups {
		if int32(g) != but {
			list = s.blameGroup(list, t, int32(g), before)
		}
	}
	return list
}

func (s *search) blameGroup(list []literal, t *dual, g, before int32) []literal {
	items := t.live[g]
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
	return list
}

// blameOnce is blame for an item of group g that was ruled out by; it leaves
// out what has been told before in the same failure.
func (s *search) blameOnce(list []literal, by *fixing, g int32) []literal {
	if by.stamp != s.stamp {
		by.stamp, by.but = s.stamp, g
		return s.blame(list, by.t, g, by.since)
	}
	if by.but < 0 || by.but == g {
		return list
	}
	rest := by.but
	by.but = -1
	return s.blameGroup(list, by.t, rest, by.since)
}
