package branch

import (
	"slices"

	"shuntwright/match/branch/node"
	"shuntwright/match/branch/search"
)

// fill finds the largest number of slots that can be filled at once, the
// largest number of ranges that can be whole then, the scenarios in which both
// are had, and a first plan. It returns false if it was ended before that was
// known.
func (s *solver) fill() bool {
	chosen, filled := s.greedy(middling)
	if filled < len(s.Tables) {
		if other, more := s.greedy((*node.Table).All); more > filled {
			chosen, filled = other, more
		}
	}
	first := s.scenario(chosen)
	s.Best = s.Measure(chosen, first.Whole)
	if s.Best == nil {
		return false
	}
	if s.Over() {
		return false
	}
	s.minimal = make([][]int32, len(s.Tables))
	if filled == s.fillable() {
		s.cases = []node.Scenario{first}
		return true
	}
	for i := range s.Tables {
		s.minimal[i] = s.Tables[i].Minimal()
	}
	for open := len(s.Tables) - search.Matching(s.Gauge, s.minimal); ; open++ {
		s.packing = search.NewPacking(s.Gauge, s.minimal, open)
		if s.packing.Find(s.Context, make([]bool, len(s.Tables))) != nil {
			s.classes(open)
			return !s.Over()
		}
		if s.Over() {
			return false
		}
	}
}

// fillable returns how many slots have a candidate at all.
func (s *solver) fillable() (count int) {
	for _, t := range s.Tables {
		if len(t.Values) > 0 {
			count++
		}
	}
	return count
}

// middling returns the candidates from the middle of their values outward: so a
// search that ends at once has something to show.
func middling(t *node.Table) []int32 { return t.Outward(nil, t.All()) }

// greedy gives every slot, the one with the fewest candidates first, the first
// candidate in the given order whose parts are free.
func (s *solver) greedy(inOrder func(*node.Table) []int32) (chosen []int32, filled int) {
	owner := slices.Repeat([]int32{node.Nobody}, s.Parts+1)
	order := make([]int32, len(s.Tables))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return len(s.Tables[a].Values) - len(s.Tables[b].Values) })
	chosen = slices.Repeat([]int32{node.Open}, len(s.Tables))
	for _, i := range order {
		t := &s.Tables[i]
		for _, c := range inOrder(t) {
			if !t.Clashes(c, owner, i) {
				chosen[i] = c
				filled++
				break
			}
		}
		for _, p := range t.Of(chosen[i]) {
			owner[p] = i
		}
	}
	return chosen, filled
}

// scenario returns the one in which the slots that are chosen must be filled.
func (s *solver) scenario(chosen []int32) node.Scenario {
	must, open := make([]bool, len(chosen)), 0
	for i, c := range chosen {
		must[i] = c >= 0
		if c < 0 {
			open++
		}
	}
	return s.needing(must, open)
}

// needing returns the scenario in which the slots of must are filled.
func (s *solver) needing(must []bool, open int) node.Scenario {
	sc := node.Scenario{Must: slices.Clone(must), Whole: make([]bool, s.Ranges), Open: open}
	for r, slots := range s.Links.Slots {
		if !slices.ContainsFunc(slots, func(i int32) bool { return !must[i] }) {
			sc.Whole[r] = true
			sc.Ranges = append(sc.Ranges, int32(r))
		}
	}
	return sc
}

// classes decides class by class of ranges that depend on the same slots
// whether they are to be whole, and keeps the scenarios with the most whole
// ranges.
func (s *solver) classes(open int) {
	var sets [][]int32
	for _, slots := range s.Links.Slots {
		if !slices.ContainsFunc(sets, func(o []int32) bool { return slices.Equal(o, slots) }) {
			sets = append(sets, slots)
		}
	}
	slices.SortStableFunc(sets, func(a, b []int32) int { return len(a) - len(b) })
	most := -1
	var choose func(i int, must []bool, left [][]int32)
	choose = func(i int, must []bool, left [][]int32) {
		if s.Over() || len(s.needing(without(left, len(must)), 0).Ranges) < most {
			return
		}
		if i == len(sets) {
			s.consider(s.needing(must, open), left, &most)
			return
		}
		more := slices.Clone(must)
		for _, slot := range sets[i] {
			more[slot] = true
		}
		if slices.Equal(more, must) || s.packing.Find(s.Context, more) != nil {
			choose(i+1, more, left)
		}
		if len(sets[i]) > 0 && !slices.Equal(more, must) {
			choose(i+1, must, append(slices.Clone(left), sets[i]))
		}
	}
	choose(0, make([]bool, len(s.Tables)), nil)
}

// without returns the slots that are still possible where each of the sets left
// out lacks at least one slot: an upper bound, so only a set of one slot says
// which.
func without(left [][]int32, slots int) []bool {
	all := make([]bool, slots)
	for i := range all {
		all[i] = true
	}
	for _, set := range left {
		if len(set) == 1 {
			all[set[0]] = false
		}
	}
	return all
}

// consider keeps a scenario if none has more whole ranges. One that makes a
// class whole that was left out is met elsewhere.
func (s *solver) consider(sc node.Scenario, left [][]int32, most *int) {
	for _, set := range left {
		if !slices.ContainsFunc(set, func(i int32) bool { return !sc.Must[i] }) {
			return
		}
	}
	if len(sc.Ranges) > *most {
		*most, s.cases = len(sc.Ranges), nil
	}
	if len(sc.Ranges) == *most {
		s.cases = append(s.cases, sc)
	}
}
