package node

import (
	"math"
	"slices"
)

// What stands in place of a slot or of a candidate.
const (
	Nobody    = int32(-1) // owner of a free part
	Open      = int32(-1) // a slot that stays without a candidate
	Undecided = int32(-2) // a slot that has none yet
)

// Table holds the candidates of one slot field by field, so that walks over
// values and over parts touch little memory. A candidate is known by its place,
// from 0.
type Table struct {
	Values     []float64  // ascending
	Parts      []int32    // Stride a candidate, filled up with a part that nobody ever owns
	Sizes      []int32    // how many parts each has in truth
	Stride     int        // the most that one has, at least 1
	Least      int32      // the fewest that one has, math.MaxInt32 without candidates
	Attributes Attributes // beside Values
}

// newTable returns the table of a list that Check finds well. None is the part
// that nobody ever owns.
func newTable(list []Candidate, none int32, attributes int) Table {
	t := Table{Stride: 1, Attributes: newAttributes(attributes)}
	for _, c := range list {
		t.Stride = max(t.Stride, len(c.Parts))
	}
	n := len(list)
	t.Values, t.Parts, t.Sizes = make([]float64, 0, n), make([]int32, 0, n*t.Stride), make([]int32, 0, n)
	t.Least = math.MaxInt32
	for _, c := range list {
		t.Least = min(t.Least, int32(len(c.Parts)))
		t.Values = append(t.Values, c.Value)
		t.Sizes = append(t.Sizes, int32(len(c.Parts)))
		t.Attributes.Add(c.Attributes)
		t.Parts = append(t.Parts, c.Parts...)
		for i := len(c.Parts); i < t.Stride; i++ {
			t.Parts = append(t.Parts, none)
		}
	}
	return t
}

// All returns the candidates.
func (t *Table) All() []int32 {
	list := make([]int32, len(t.Values))
	for i := range list {
		list[i] = int32(i)
	}
	return list
}

// Of returns the parts of candidate c, none where it is open.
func (t *Table) Of(c int32) []int32 {
	if c < 0 {
		return nil
	}
	at := int(c) * t.Stride
	return t.Parts[at : at+int(t.Sizes[c])]
}

// Clashes tells whether another slot than mine owns a part of candidate c.
func (t *Table) Clashes(c int32, owner []int32, mine int32) bool {
	at := int(c) * t.Stride
	for _, p := range t.Parts[at : at+t.Stride] {
		if o := owner[p]; o != mine && o != Nobody {
			return true
		}
	}
	return false
}

// ByParts is the drawer's order of two candidates, an open slot last. Equal
// parts go by value.
func (t *Table) ByParts(a, b int32) int {
	switch {
	case a < 0 || b < 0:
		return int(b) - int(a) // at least one is open; the other, if filled, comes first
	default:
		if c := slices.Compare(t.Of(a), t.Of(b)); c != 0 {
			return c
		}
		return int(a) - int(b)
	}
}

// InAll tells whether all candidates of the list hold part p.
func (t *Table) InAll(p int32, list []int32) bool {
	for _, c := range list {
		if !slices.Contains(t.Of(c), p) {
			return false
		}
	}
	return true
}
