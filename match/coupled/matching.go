package coupled

import (
	"slices"

	"shuntwright/match/coupled/candidate"
)

// matching returns how many slots can be filled if each takes only one part of one of its candidates: no more can be in truth.
func (s *solver) matching() int {
	slotOf := make([]int32, s.Parts)
	for i := range slotOf {
		slotOf[i] = candidate.Nobody
	}
	count := 0
	for i := range s.Tables {
		if slices.ContainsFunc(s.minimal[i], func(c int32) bool { return s.Tables[i].Sizes[c] == 0 }) || s.augment(int32(i), slotOf, make([]bool, s.Parts)) {
			count++
		}
	}
	return count
}

func (s *solver) augment(slot int32, slotOf []int32, seen []bool) bool {
	t := &s.Tables[slot]
	for _, c := range s.minimal[slot] {
		for _, p := range t.Of(c) {
			if seen[p] {
				continue
			}
			seen[p] = true
			if slotOf[p] == candidate.Nobody || s.augment(slotOf[p], slotOf, seen) {
				slotOf[p] = slot
				return true
			}
		}
	}
	return false
}
