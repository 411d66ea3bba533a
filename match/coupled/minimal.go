package coupled

import (
	"encoding/binary"
	"slices"
)

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
