package local

import (
	"math"
	"slices"

	"shuntwright/match/network"
)

// Run makes a good plan, the better one of two starts.
func (s *Search) Run() {
	s.start()
	s.Polish()
	if s.Context.Err() != nil {
		return
	}
	first, key := s.Networks(), s.Key()
	if key.Points == 0 && len(key.Within) == 0 {
		return
	}
	s.start()
	s.worstFirst(s.Polish)
	s.Polish()
	if second := s.Key(); key.CompareAll(&second) <= 0 {
		s.load(first)
		s.polished = first
	}
}

// start fills all slots, those with the fewest networks first, each as if all that
// are still open had their targets.
func (s *Search) start() {
	s.load(nil)
	count := make([]int, len(s.nets))
	for i := range count {
		count[i] = s.choices(i)
	}
	order := make([]int, len(s.nets))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return count[a] - count[b] })
	s.ideal = true
	for _, i := range order {
		if f := s.newBox(nobody, true, i); f.run(fewParts) {
			s.put(i, f.found[0])
		}
	}
	s.ideal = false
}

// choices counts the networks of few parts for slot i, as far as they are listed.
func (s *Search) choices(i int) int {
	sh := &s.shelves[i]
	_, from, to, ok := s.between(i, sh.fewest(), min(fewParts, sh.need.AtMost), sh.lo, sh.hi)
	if !ok {
		return s.mostListed()
	}
	return to - from
}

// worstFirst lets the steps of all ranges count, the largest first, while it does
// something: what is best by points is often near what is best by the worst range.
func (s *Search) worstFirst(do func()) {
	class, polished := s.order.Class, s.polished
	s.order.Class, s.polished = math.Inf(1), nil
	do()
	s.order.Class, s.polished = class, polished
}

// shakes is how many times in a row slots are shaken in vain before they are left.
const shakes = 16

// Shake puts other networks into some slots of a circuit and betters what has
// become of that, again and again until it is no better plan any more.
func (s *Search) Shake(circuit []int) {
	for vain := 0; vain < shakes && s.Context.Err() == nil; vain++ {
		if s.jolt(circuit) {
			vain = 0
		}
	}
}

// jolt shakes a circuit once, and reports whether the plan comes before the one
// that was, which is kept if that is not the better one.
func (s *Search) jolt(circuit []int) bool {
	before, old := s.Key(), s.Networks()
	for range 1 + s.rng.IntN(3) {
		s.swap(circuit[s.rng.IntN(len(circuit))])
	}
	if s.rng.IntN(2) == 0 {
		s.worstFirst(func() { s.descend(circuit) })
	}
	s.descend(circuit)
	after := s.Key()
	if after.CompareAll(&before) >= 0 {
		s.load(old)
		return false
	}
	return after.Compare(&before) < 0
}

// swap puts into slot i any of some free networks near what is there, of as many
// parts or one less.
func (s *Search) swap(i int) {
	if s.nets[i].IsZero() {
		return
	}
	m := max(min(s.nets[i].Size(), fewParts)-s.rng.IntN(4)/3, s.shelves[i].fewest())
	var some []network.Network
	for far, wanted := 0.0005, 4+s.rng.IntN(60); far < 0.5 && len(some) < wanted; far *= 2 {
		r, from, to, ok := s.between(i, m, m, s.Values[i]*(1-far), s.Values[i]*(1+far))
		if !ok {
			break
		}
		some = r.list[from:to]
	}
	if len(some) == 0 {
		return
	}
	if n := some[s.rng.IntN(len(some))]; s.free(n, i, nobody) {
		s.open(i)
		s.put(i, n)
	}
}

// load puts networks into all slots; nil opens them.
func (s *Search) load(nets []network.Network) {
	for i := range s.nets {
		s.open(i)
	}
	for i, n := range nets {
		s.put(i, n)
	}
}
