package pack

import "math"

// tariff gives every item a whole price such that the items of any choice cost together at most worth: the sum of rows of the
// relaxation, each times a factor.
type tariff struct {
	price []int64
	worth int64
}

// levied is what items were ruled out by at one time: a tariff, and the length of the trail before.
type levied struct {
	t     *tariff
	since int32
	stamp int   // the failure in which it was last explained
	but   int32 // the group that was left out then; -1: none
}

const tariffs = 24 // kept at a time

// levy draws the conclusions from the tariffs: where the cheapest items of all groups cost more than the worth there is no choice,
// and an item that is dearer than the cheapest of its group by more than what is left is ruled out. It returns false on failure;
// changed tells whether items were ruled out.
func (s *search) levy() (ok, changed bool) {
	for k, t := range s.tariffs {
		rest := s.leastPrices(t)
		if rest < 0 {
			s.conflict = s.blame(s.conflict[:0], t, -1, int32(len(s.trail)))
			s.first(k)
			return false, false
		}
		before := len(s.trail)
		var by *levied
		for g, items := range s.groups {
			if s.top[g] <= s.least[g]+rest {
				continue
			}
			if by == nil {
				by = &levied{t: t, since: int32(before)}
			}
			for _, item := range items {
				if s.value[item] == unknown && t.price[item] > s.least[g]+rest {
					s.assign(leave(item), reason{kind: byPrice, by: by})
				}
			}
		}
		if len(s.trail) > before {
			s.first(k)
			return true, true
		}
	}
	return true, false
}

// first moves tariff k to the front.
func (s *search) first(k int) {
	t := s.tariffs[k]
	copy(s.tariffs[1:k+1], s.tariffs[:k])
	s.tariffs[0] = t
}

// keep adds a tariff in front and drops the last where there are too many.
func (s *search) keep(t *tariff) {
	if len(s.tariffs) < tariffs {
		s.tariffs = append(s.tariffs, nil)
	}
	copy(s.tariffs[1:], s.tariffs)
	s.tariffs[0] = t
}

// leastPrices puts into least and top what the cheapest and the dearest item left of each group cost, and returns how much more
// the worth is than the cheapest of all groups together.
func (s *search) leastPrices(t *tariff) int64 {
	rest := t.worth
	for g, items := range s.groups {
		low, high := int64(math.MaxInt64), int64(0)
		for _, item := range items {
			if s.value[item] != ruledOut {
				p := t.price[item]
				low, high = min(low, p), max(high, p)
			}
		}
		s.least[g], s.top[g] = low, high
		rest -= low
	}
	return rest
}

// blame appends the items ruled out before a place in the trail that are cheaper than the cheapest left then of their group: had
// they been left, the cheapest items would not have cost too much. Group but does not count.
func (s *search) blame(list []literal, t *tariff, but, before int32) []literal {
	for g := range s.groups {
		if int32(g) != but {
			list = s.blameGroup(list, t, int32(g), before)
		}
	}
	return list
}

func (s *search) blameGroup(list []literal, t *tariff, g, before int32) []literal {
	items := s.groups[g]
	low := int64(math.MaxInt64)
	for _, item := range items {
		if p := t.price[item]; p < low && (s.value[item] != ruledOut || s.place[item] >= before) {
			low = p
		}
	}
	for _, item := range items {
		if t.price[item] < low && s.level[item] > 0 {
			list = append(list, take(item))
		}
	}
	return list
}

// blameOnce is blame for an item of group g that was ruled out by; it leaves out what has been told before in the same failure.
func (s *search) blameOnce(list []literal, by *levied, g int32) []literal {
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
