package branch

import "slices"

// matching returns how many slots can be filled if each takes only one part of
// one of its listed candidates: no more can be in truth.
func (g *gauge) matching(lists [][]int32) int {
	m := matching{g.tables, lists}
	slotOf := make([]int32, g.parts)
	for i := range slotOf {
		slotOf[i] = nobody
	}
	count := 0
	for i := range m.tables {
		if slices.ContainsFunc(m.lists[i], func(c int32) bool { return m.tables[i].sizes[c] == 0 }) || m.augment(int32(i), slotOf, make([]bool, g.parts)) {
			count++
		}
	}
	return count
}

// matching is slots and the parts that they may take.
type matching struct {
	tables []table
	lists  [][]int32
}

// augment gives the slot a part, moving other slots to other parts if need be,
// and tells whether it can.
func (m matching) augment(slot int32, slotOf []int32, seen []bool) bool {
	t := &m.tables[slot]
	for _, c := range m.lists[slot] {
		for _, p := range t.of(c) {
			if seen[p] {
				continue
			}
			seen[p] = true
			if slotOf[p] == nobody || m.augment(slotOf[p], slotOf, seen) {
				slotOf[p] = slot
				return true
			}
		}
	}
	return false
}
