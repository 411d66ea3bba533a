package coupled

import (
	"encoding/binary"
	"math"
	"slices"
)

// scenario says which ranges are to be whole. The slots that they depend on must be filled; the others may use what parts are left.
type scenario struct {
	must   []bool // for each slot
	whole  []bool // for each range
	ranges []int32
	open   int // how many slots stay open
}

// fill finds the largest number of slots that can be filled at once, the largest number of ranges that can be whole then, and the
// scenarios in which both are had. It returns false if it was ended before that was known.
func (s *solver) fill() bool {
	all := make([]bool, len(s.tables))
	for i := range all {
		all[i] = true
	}
	if s.greedy() {
		s.cases = []scenario{s.scenario(all, 0)}
		return true
	}
	s.minimal = make([][]int32, len(s.tables))
	for i := range s.tables {
		s.minimal[i] = s.tables[i].minimal()
	}
	open := len(s.tables) - s.matching()
	for !s.packs(make([]bool, len(s.tables)), open) {
		if s.ended {
			return false
		}
		open++
	}
	s.classes(open)
	return !s.ended
}

// greedy tells whether every slot gets a candidate by taking, the slot with the fewest first, the first that is free.
func (s *solver) greedy() bool {
	owner := make([]int32, s.p.Parts+1)
	for i := range owner {
		owner[i] = nobody
	}
	order := make([]int32, len(s.tables))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return len(s.tables[a].values) - len(s.tables[b].values) })
	for _, i := range order {
		t := &s.tables[i]
		c := slices.IndexFunc(t.all(), func(c int32) bool { return !t.clashes(c, owner, i) })
		if c < 0 {
			return false
		}
		for _, p := range t.of(int32(c)) {
			owner[p] = i
		}
	}
	return true
}

// scenario returns the one in which the slots of must are filled.
func (s *solver) scenario(must []bool, open int) scenario {
	sc := scenario{must: slices.Clone(must), whole: make([]bool, s.p.Ranges), open: open}
	for r, slots := range s.links.slots {
		if !slices.ContainsFunc(slots, func(i int32) bool { return !must[i] }) {
			sc.whole[r] = true
			sc.ranges = append(sc.ranges, int32(r))
		}
	}
	return sc
}

// packs tells whether all slots but open can be filled at once, those of must among them.
func (s *solver) packs(must []bool, open int) bool {
	sc := scenario{must: must, whole: make([]bool, s.p.Ranges), open: open}
	d := newDFS(s)
	d.first, d.limit, d.blind = true, math.MaxInt, true
	found, _ := d.seek(&sc, anything, s.minimal)
	return found
}

// classes decides class by class of ranges that depend on the same slots whether they are to be whole, and keeps the scenarios with the
// most whole ranges.
func (s *solver) classes(open int) {
	var sets [][]int32
	for _, slots := range s.links.slots {
		if !slices.ContainsFunc(sets, func(o []int32) bool { return slices.Equal(o, slots) }) {
			sets = append(sets, slots)
		}
	}
	slices.SortStableFunc(sets, func(a, b []int32) int { return len(a) - len(b) })
	most := -1
	var choose func(i int, must []bool, left [][]int32)
	choose = func(i int, must []bool, left [][]int32) {
		if s.tick(); s.ended || len(s.scenario(without(left, len(must)), 0).ranges) < most {
			return
		}
		if i == len(sets) {
			s.consider(s.scenario(must, open), left, &most)
			return
		}
		more := slices.Clone(must)
		for _, slot := range sets[i] {
			more[slot] = true
		}
		if slices.Equal(more, must) || s.packs(more, open) {
			choose(i+1, more, left)
		}
		if len(sets[i]) > 0 && !slices.Equal(more, must) {
			choose(i+1, must, append(slices.Clone(left), sets[i]))
		}
	}
	choose(0, make([]bool, len(s.tables)), nil)
}

// without returns the slots that are still possible where each of the sets left out lacks at least one slot: an upper bound, so only a
// set of one slot says which.
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

// consider keeps a scenario if none has more whole ranges. One that makes a class whole that was left out is met elsewhere.
func (s *solver) consider(sc scenario, left [][]int32, most *int) {
	for _, set := range left {
		if !slices.ContainsFunc(set, func(i int32) bool { return !sc.must[i] }) {
			return
		}
	}
	if len(sc.ranges) > *most {
		*most, s.cases = len(sc.ranges), nil
	}
	if len(sc.ranges) == *most {
		s.cases = append(s.cases, sc)
	}
}

// minimal returns the candidates whose parts hold those of no other. Where only filling counts the others can be forgotten.
func (t *table) minimal() []int32 {
	list := t.all()
	slices.SortStableFunc(list, func(a, b int32) int { return int(t.sizes[a] - t.sizes[b]) })
	seen := make(map[string]bool)
	kept := list[:0]
	for _, c := range list {
		if t.holds(c, seen) {
			continue
		}
		seen[key(t.of(c), -1)] = true
		kept = append(kept, c)
	}
	slices.Sort(kept)
	return kept
}

// holds tells whether a set seen is among the subsets of c's parts.
func (t *table) holds(c int32, seen map[string]bool) bool {
	parts := t.of(c)
	for subset := 0; subset < 1<<len(parts); subset++ {
		if seen[key(parts, subset)] {
			return true
		}
	}
	return false
}

// key returns the parts whose bits are set as text.
func key(parts []int32, subset int) string {
	var b []byte
	for i, p := range parts {
		if subset>>i&1 == 1 {
			b = binary.LittleEndian.AppendUint32(b, uint32(p))
		}
	}
	return string(b)
}

// matching returns how many slots can be filled if each takes only one part of one of its candidates: no more can be in truth.
func (s *solver) matching() int {
	slotOf := make([]int32, s.p.Parts)
	for i := range slotOf {
		slotOf[i] = nobody
	}
	count := 0
	for i := range s.tables {
		if slices.ContainsFunc(s.minimal[i], func(c int32) bool { return s.tables[i].sizes[c] == 0 }) || s.augment(int32(i), slotOf, make([]bool, s.p.Parts)) {
			count++
		}
	}
	return count
}

func (s *solver) augment(slot int32, slotOf []int32, seen []bool) bool {
	t := &s.tables[slot]
	for _, c := range s.minimal[slot] {
		for _, p := range t.of(c) {
			if seen[p] {
				continue
			}
			seen[p] = true
			if slotOf[p] == nobody || s.augment(slotOf[p], slotOf, seen) {
				slotOf[p] = slot
				return true
			}
		}
	}
	return false
}
