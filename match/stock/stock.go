// Package stock holds parts and answers what networks of them come nearest to a
// target.
package stock

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Values must lie from Smallest to Largest, so that no sum, product or
// reciprocal of four of them leaves the range of float64.
const (
	Smallest = 1e-100
	Largest  = 1e100
)

// Part is one part of the stock.
type Part struct {
	Value float64 // positive and finite, 1e-100 to 1e100
	Bears float64 // largest flow through it, positive; +Inf where unlimited
}

// Stock holds parts, ready to be searched. It does not change, so it may be
// used from several goroutines at once.
type Stock struct {
	parts  []Part
	values []float64
	bears  []float64
	order  []int32 // ascending by value, then by what a part bears, then in drawer order
}

// New takes the parts in drawer order and keeps a copy. It returns an
// error that names the place of a part whose value or bearing is out of range;
// no parts at all is an error too.
func New(parts []Part) (*Stock, error) {
	if len(parts) == 0 {
		return nil, fmt.Errorf("stock: no parts to choose from")
	}
	if len(parts) > math.MaxInt32 {
		return nil, fmt.Errorf("stock: %d parts are too many", len(parts))
	}
	s := &Stock{parts: slices.Clone(parts)}
	for i, p := range parts {
		if !inRange(p.Value) {
			return nil, fmt.Errorf("stock: part %d has value %v; it must be positive and finite (%v to %v)", i+1, p.Value, Smallest, Largest)
		}
		if !(p.Bears > 0) {
			return nil, fmt.Errorf("stock: part %d bears %v; it must be positive, +Inf where nothing is known", i+1, p.Bears)
		}
		s.values = append(s.values, p.Value)
		s.bears = append(s.bears, p.Bears)
		s.order = append(s.order, int32(i))
	}
	slices.SortFunc(s.order, func(i, j int32) int {
		return cmp.Or(cmp.Compare(parts[i].Value, parts[j].Value), cmp.Compare(parts[i].Bears, parts[j].Bears), cmp.Compare(i, j))
	})
	return s, nil
}

func inRange(v float64) bool { return v >= Smallest && v <= Largest }

// Len returns the number of parts.
func (s *Stock) Len() int { return len(s.parts) }

// Parts returns a copy of the parts in drawer order.
func (s *Stock) Parts() []Part { return slices.Clone(s.parts) }

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
	if few >= len(order) {
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

// equals returns for each part the one before it, in drawer order, that is
// equal in value and in what it bears, -1 if there is none.
func (s *Stock) equals() []int32 {
	out := make([]int32, len(s.parts))
	for k, i := range s.order {
		out[i] = -1
		if k > 0 && s.parts[s.order[k-1]] == s.parts[i] {
			out[i] = s.order[k-1]
		}
	}
	return out
}
