package branch

import (
	"encoding/binary"
	"slices"
)

// minimal returns the candidates whose parts hold those of no other. Where only
// filling counts the others can be forgotten.
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
