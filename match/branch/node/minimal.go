package node

import (
	"encoding/binary"
	"slices"
)

// Minimal returns the candidates whose parts hold those of no other. Where only
// filling counts the others can be forgotten.
func (t *Table) Minimal() []int32 {
	list := t.All()
	slices.SortStableFunc(list, func(a, b int32) int { return int(t.Sizes[a] - t.Sizes[b]) })
	seen := make(map[string]bool)
	kept := list[:0]
	for _, c := range list {
		if t.holds(c, seen) {
			continue
		}
		seen[key(t.Of(c), -1)] = true
		kept = append(kept, c)
	}
	slices.Sort(kept)
	return kept
}

// holds tells whether a set seen is among the subsets of c's parts.
func (t *Table) holds(c int32, seen map[string]bool) bool {
	parts := t.Of(c)
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
