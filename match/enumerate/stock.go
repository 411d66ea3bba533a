// Package enumerate holds parts and finds the networks of them that come nearest
// to a target, or lie in a window that may shrink while it looks, without
// enumerating those outside.
//
// Series adds values and parallel adds reciprocals, so every network of up to
// four parts is, from the outside in, at most one operand to be subtracted from
// the target and then a sum of two small networks. Those stand in sorted lists;
// going up one list and down the other finds all sums in the window. With n
// parts that takes about n steps for two parts, n² for three, and n² log n for
// four. (The idea of meeting in the middle for four: Schroeppel and Shamir, SIAM
// J. Comput. 10, 1981, from memory; here lists of pairs are kept in blocks of
// bounded size instead of heaps.)
package enumerate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync"

	"shuntwright/match"
	"shuntwright/match/network"
)

// Stock holds parts, ready to be searched. It does not change, so it may be
// used from several goroutines at once.
type Stock struct {
	parts  []match.Part
	values []float64
	bears  []float64
	order  []int32 // ascending by value, then by what a part bears, then in drawer order
	alike  func() alike
	single [len(ops)]func() *list // all parts, in the coordinate of each of ops
}

// alike tells which parts are equal in value and in what they bear.
type alike struct {
	before []int32 // of each part, the one before it in drawer order, -1 if there is none
	most   int     // how many there are of one kind at most
}

// NewStock takes the parts in drawer order and keeps a copy. It returns an
// error that names the place of a part whose value or bearing is out of range.
func NewStock(parts []match.Part) (*Stock, error) {
	if len(parts) > math.MaxInt32 {
		return nil, fmt.Errorf("stock: %d parts are too many", len(parts))
	}
	s := &Stock{parts: slices.Clone(parts), values: make([]float64, 0, len(parts)), bears: make([]float64, 0, len(parts)), order: make([]int32, 0, len(parts))}
	for i, p := range parts {
		if err := p.Validate(); err != nil {
			return nil, fmt.Errorf("stock: part %d %w", i+1, err)
		}
		s.values = append(s.values, p.Value)
		s.bears = append(s.bears, p.Bears)
		s.order = append(s.order, int32(i))
	}
	slices.SortFunc(s.order, func(i, j int32) int {
		if c := cmp.Compare(parts[i].Value, parts[j].Value); c != 0 {
			return c
		}
		return cmp.Or(cmp.Compare(parts[i].Bears, parts[j].Bears), cmp.Compare(i, j))
	})
	s.alike = sync.OnceValue(s.findAlike)
	for k, op := range ops {
		s.single[k] = sync.OnceValue(func() *list { return singles(s.values, s.bears, s.order, op) })
	}
	return s, nil
}

// Len returns the number of parts.
func (s *Stock) Len() int { return len(s.parts) }

// Parts returns a copy of the parts in drawer order.
func (s *Stock) Parts() []match.Part { return slices.Clone(s.parts) }

// only returns the order without the parts that are not among the indexes; all
// of it for nil.
func (s *Stock) only(indexes []int) ([]int32, error) {
	if indexes == nil {
		return s.order, nil
	}
	among := make([]bool, len(s.parts))
	for _, i := range indexes {
		if i < 0 || i >= len(among) {
			return nil, fmt.Errorf("part %d: there are 0 to %d", i, len(among)-1)
		}
		among[i] = true
	}
	return slices.DeleteFunc(slices.Clone(s.order), func(i int32) bool { return !among[i] }), nil
}

// firsts returns an order without all but the first few, in drawer order, of
// parts that are equal in value and in what they bear.
func (s *Stock) firsts(order []int32, few int) []int32 {
	if few >= s.alike().most {
		return order
	}
	out := make([]int32, 0, len(order))
	run := 0
	for k, i := range order {
		if k > 0 && s.parts[order[k-1]] == s.parts[i] {
			run++
		} else {
			run = 0
		}
		if run < few {
			out = append(out, i)
		}
	}
	return out
}

// findAlike finds the parts that are alike.
func (s *Stock) findAlike() alike {
	out := alike{before: make([]int32, len(s.parts))}
	run := 0
	for k, i := range s.order {
		out.before[i] = -1
		if run++; k > 0 && s.parts[s.order[k-1]] == s.parts[i] {
			out.before[i] = s.order[k-1]
		} else {
			run = 1
		}
		out.most = max(out.most, run)
	}
	return out
}

// request puts the need into the words of walk.
func (s *Stock) request(n match.Need, order []int32, fewest int) request {
	r := request{
		Leaves: network.Leaves{Values: s.values, Bears: s.bears, KeptValue: n.Keep, KeptBearing: n.KeepBears},
		Kept:   n.Keeps(), Order: order, Fewest: fewest, Most: n.AtMost,
	}
	if len(order) == len(s.order) {
		r.single = &s.single
	}
	if n.Flow > 0 {
		r.Flow = n.Flow
	}
	if n.Drop > 0 {
		r.Drop = n.Drop
	}
	return r
}
