// Package local finds a good plan at once, by local search: one network after the
// other is put where it fits best while all else stays, two at a time within a
// circuit, and parts are taken from other positions, which then get new ones. What
// a refit of one position, or of two of one circuit, could better is found for
// sure: boxes of values are halved, and a box is given up where its corners,
// between which all errors lie, do not come earlier in the order (branch and
// bound; the errors are monotone).
package local

import (
	"context"
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// nobody owns a part that is free; everybody lends all parts.
const (
	nobody    = -1
	everybody = -2
)

// Search holds one network a slot, and betters that. It is not for several
// goroutines at once.
type Search struct {
	*objective.Objective
	order    match.Order
	circuits [][]int   // slots that have ranges in common, with others between them
	rangesOf [][]int   // of each slot
	rising   [][]int   // of each range and slot
	weight   []float64 // by how much a slot's value, a little greater, moves an error at most
	shelves  []shelf
	nets     []network.Network
	polished []network.Network // a choice that nothing betters, nil where none is known
	owner    []int32           // of each part a slot, or nobody
	limits   []float64
	space    match.Box         // room for the floors of limits
	met      []network.Network // room for list
	work     int               // steps of all boxes
	late     context.Context
	ideal    bool // open slots count as filled with their targets
}

// New returns a search that has filled nothing yet.
func New(o *objective.Objective) *Search {
	o = o.Fork()
	n := len(o.Needs)
	s := &Search{Objective: o, late: &late{o.Context, grace}, order: o.Order(), rangesOf: make([][]int, n),
		nets: make([]network.Network, n), owner: make([]int32, o.Stock.Len()), limits: make([]float64, o.Ranges)}
	for p := range s.owner {
		s.owner[p] = nobody
	}
	for r := range o.Ranges {
		row := make([]int, n)
		for i := range row {
			if row[i] = o.Response.Rising(r, i); row[i] != 0 {
				s.rangesOf[i] = append(s.rangesOf[i], r)
			}
		}
		s.rising = append(s.rising, row)
	}
	least, most := o.Wanted.Value(0), o.Wanted.Value(o.Wanted.Len()-1)
	for _, need := range o.Needs {
		s.shelves = append(s.shelves, newShelf(need, least, most))
	}
	s.circuits = o.Circuits()
	s.Reset()
	s.weigh()
	return s
}

// weigh finds out how much each slot matters.
func (s *Search) weigh() {
	const little = 0.001
	for i, target := range s.Values {
		w := 0.0
		for _, r := range s.rangesOf[i] {
			before := s.ErrorOf(r)
			s.Values[i] = target * (1 + little)
			w = max(w, math.Abs(s.ErrorOf(r)-before))
			s.Values[i] = target
		}
		s.weight = append(s.weight, w)
	}
}

// put fills slot i, which must be open, with a network of free parts.
func (s *Search) put(i int, n network.Network) {
	if n.IsZero() {
		return
	}
	s.nets[i], s.Values[i] = n, n.Value()
	set := n.Set()
	for _, p := range set[:n.Size()] {
		s.owner[p] = int32(i)
	}
}

// open empties slot i and returns what it held.
func (s *Search) open(i int) network.Network {
	n := s.nets[i]
	set := n.Set()
	for _, p := range set[:n.Size()] {
		s.owner[p] = nobody
	}
	s.nets[i], s.Values[i] = network.Network{}, s.Needs[i].Target
	return n
}

// free reports whether slot i may take the parts of a network, those of a lender
// too.
func (s *Search) free(n network.Network, i, lender int) bool {
	if lender == everybody {
		return true
	}
	set := n.Set()
	for _, p := range set[:n.Size()] {
		if o := int(s.owner[p]); o != nobody && o != i && o != lender {
			return false
		}
	}
	return true
}

// whole reports whether all slots of a range are filled, some being taken for it.
func (s *Search) whole(r int, as ...int) bool {
	return s.ideal || !slices.ContainsFunc(s.SlotsOf[r], func(i int) bool { return s.nets[i].IsZero() && !slices.Contains(as, i) })
}

// measure puts what slots and ranges count for into k.
func (s *Search) measure(k *match.Key, slots, ranges []int) {
	k.Reset()
	for _, i := range slots {
		if !s.nets[i].IsZero() {
			k.Filled++
			k.Parts += s.nets[i].Size()
		}
	}
	limited := s.Limit != nil && !s.ideal
	if limited {
		s.Limit(s.nets, s.limits)
	}
	for _, r := range ranges {
		if !s.whole(r) {
			continue
		}
		cost := math.Abs(s.ErrorOf(r))
		if limited {
			cost += s.limits[r]
		}
		k.Add(s.order.Tally(cost), cost)
	}
}

// Key returns where the plan stands in the order.
func (s *Search) Key() match.Key {
	var k match.Key
	slots, ranges := make([]int, len(s.nets)), make([]int, s.Ranges)
	for i := range slots {
		slots[i] = i
	}
	for r := range ranges {
		ranges[r] = r
	}
	s.measure(&k, slots, ranges)
	return k
}

// Networks returns what is in the slots.
func (s *Search) Networks() []network.Network { return slices.Clone(s.nets) }
