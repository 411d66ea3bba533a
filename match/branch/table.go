package branch

import (
	"cmp"
	"math"
	"slices"

	"shuntwright/match/assign/sat"
)

// What stands in place of a slot or of a candidate.
const (
	nobody    = int32(-1) // owner of a free part
	open      = int32(-1) // a slot that stays without a candidate
	undecided = int32(-2) // a slot that has none yet
)

// table holds the candidates of one slot field by field, so that walks over
// values and over parts touch little memory. A candidate is known by its place,
// from 0.
type table struct {
	values     []float64 // ascending
	parts      []int32   // stride a candidate, filled up with a part that nobody ever owns
	sizes      []int32   // how many parts each has in truth
	stride     int       // the most that one has, at least 1
	least      int32     // the fewest that one has, math.MaxInt32 without candidates
	attributes []float64 // of one candidate after the other, so many each
	each       int
}

// newTable returns the table of a list that ascends by value, each candidate with so
// many attributes. None is the part that nobody ever owns.
func newTable(list []Candidate, none int32, attributes int) table {
	t := table{stride: 1, each: attributes}
	for _, c := range list {
		t.stride = max(t.stride, len(c.Parts))
	}
	n := len(list)
	t.values, t.parts, t.sizes = make([]float64, 0, n), make([]int32, 0, n*t.stride), make([]int32, 0, n)
	t.least = math.MaxInt32
	for _, c := range list {
		t.least = min(t.least, int32(len(c.Parts)))
		t.values = append(t.values, c.Value)
		t.sizes = append(t.sizes, int32(len(c.Parts)))
		t.attributes = append(t.attributes, c.Attributes...)
		t.parts = append(t.parts, c.Parts...)
		for i := len(c.Parts); i < t.stride; i++ {
			t.parts = append(t.parts, none)
		}
	}
	return t
}

// all returns the candidates.
func (t *table) all() []int32 {
	list := make([]int32, len(t.values))
	for i := range list {
		list[i] = int32(i)
	}
	return list
}

// of returns the parts of candidate c, none where it is open.
func (t *table) of(c int32) []int32 {
	if c < 0 {
		return nil
	}
	at := int(c) * t.stride
	return t.parts[at : at+int(t.sizes[c])]
}

// attribute returns attribute k of candidate c.
func (t *table) attribute(c int32, k int) float64 { return t.attributes[int(c)*t.each+k] }

// span puts the least and the greatest of every attribute of the listed
// candidates into least and most; of none these are +Inf and -Inf.
func (t *table) span(least, most []float64, list []int32) {
	for k := range t.each {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, c := range list {
			v := t.attribute(c, k)
			lo, hi = min(lo, v), max(hi, v)
		}
		least[k], most[k] = lo, hi
	}
}

// clashes tells whether another slot than mine owns a part of candidate c.
func (t *table) clashes(c int32, owner []int32, mine int32) bool {
	at := int(c) * t.stride
	for _, p := range t.parts[at : at+t.stride] {
		if o := owner[p]; o != mine && o != nobody {
			return true
		}
	}
	return false
}

// byParts is the drawer's order of two candidates. Equal parts go by value.
func (t *table) byParts(a, b int32) int { return cmp.Or(slices.Compare(t.of(a), t.of(b)), int(a-b)) }

// minimal returns the candidates whose parts hold those of no other. Where only
// filling counts the others can be forgotten: scarce drawers for mixed circuits
// take 2 to 3 times as long with them.
func (t *table) minimal() []int32 {
	list, seen := t.all(), make(sat.Subsets)
	slices.SortStableFunc(list, func(a, b int32) int { return int(t.sizes[a] - t.sizes[b]) })
	list = slices.DeleteFunc(list, func(c int32) bool { return seen.Covers(t.of(c)) })
	slices.Sort(list)
	return list
}

// inAll tells whether all candidates of the list hold part p.
func (t *table) inAll(p int32, list []int32) bool {
	for _, c := range list {
		if !slices.Contains(t.of(c), p) {
			return false
		}
	}
	return true
}
