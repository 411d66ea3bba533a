package local

import (
	"math/bits"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
)

// floorTrust allows for what rounding does to the floor of a limit.
const floorTrust = 1 - 1e-12

// spans tells of runs of networks the least and the greatest of each attribute.
type spans struct {
	count int         // attributes
	least [][]float64 // by k: of the runs of 2^k networks from each on, one after the other
	most  [][]float64
}

// newSpans takes the attributes of networks one after the other, so many each.
func newSpans(of []float64, count int) *spans {
	s := &spans{count: count, least: [][]float64{of}, most: [][]float64{of}}
	for run := 1; 2*run*count <= len(of); run *= 2 {
		least, most := s.least[len(s.least)-1], s.most[len(s.most)-1]
		lower, upper := make([]float64, len(least)-run*count), make([]float64, len(least)-run*count)
		for j := range lower {
			lower[j], upper[j] = min(least[j], least[j+run*count]), max(most[j], most[j+run*count])
		}
		s.least, s.most = append(s.least, lower), append(s.most, upper)
	}
	return s
}

// of puts the least and the greatest of the networks from from to below to into two
// lists.
func (s *spans) of(from, to int, least, most []float64) {
	k := bits.Len(uint(to-from)) - 1
	a, b := from*s.count, (to-1<<k)*s.count
	for j := range s.count {
		least[j], most[j] = min(s.least[k][a+j], s.least[k][b+j]), max(s.most[k][a+j], s.most[k][b+j])
	}
}

// doubts reports whether limits count and something is known of them beforehand.
func (s *Search) doubts() bool { return s.Limit != nil && s.LimitFloor != nil && !s.ideal }

// pin puts what slot i holds into the space that floors are asked about.
func (s *Search) pin(i int, n network.Network) {
	of := s.LimitFloor.Attributes(nil, i, n)
	if s.space.Lo == nil {
		s.space = match.NewBox(len(s.nets), len(of))
	}
	s.space.Lo[i], s.space.Hi[i] = n.Value(), n.Value()
	copy(s.space.Least[i], of)
	copy(s.space.Most[i], of)
}

// pinAll pins the slots that stay as they are and matter to the box.
func (b *box) pinAll() {
	if !b.doubts() {
		return
	}
	for _, r := range b.ranges {
		for _, i := range b.SlotsOf[r] {
			if !slices.Contains(b.slots, i) {
				b.pin(i, b.nets[i])
			}
		}
	}
}

// sharpen asks anew what the limits of the ranges of slot i are at least, of all
// ranges for -1, and reports whether the least still comes before the best.
func (b *box) sharpen(n *node, i int) bool {
	if !b.doubts() {
		return true
	}
	sharper := false
	for j, r := range b.ranges {
		if i < 0 || b.rising[r][i] != 0 {
			if f := b.floor(r, n.views); f > n.floors[j] {
				n.floors[j], sharper = f, true
			}
		}
	}
	return !sharper || b.bound(n)
}

// floor returns what the limit of range r is at least, 0 where networks are not
// listed.
func (b *box) floor(r int, v []view) float64 {
	for k, i := range b.slots {
		w := &v[k]
		if b.rising[r][i] == 0 {
			continue
		}
		if !w.listed {
			return 0
		}
		if w.of.spans == nil && !b.attribute(i, w.of) {
			return 0
		}
		b.space.Lo[i], b.space.Hi[i] = w.lo, w.hi
		w.of.spans.of(w.from, w.to, b.space.Least[i], b.space.Most[i])
	}
	return floorTrust * b.LimitFloor.Floor(r, &b.space)
}

// attribute finds the attributes of the networks of a rack of slot i, and reports
// false if the context ends.
func (b *box) attribute(i int, r *rack) bool {
	var all []float64
	for k := range r.list {
		if k%pollEvery == pollEvery-1 && b.until.Err() != nil {
			return false
		}
		all = b.LimitFloor.Attributes(all, i, r.list[k])
	}
	count := len(all) / len(r.list)
	if b.space.Lo == nil {
		b.space = match.NewBox(len(b.nets), count)
	}
	r.spans = newSpans(all, count)
	return true
}
