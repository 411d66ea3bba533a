package local

import (
	"slices"

	"shuntwright/match/network"
)

// Run makes a good plan of a search that has filled nothing yet.
func (s *Search) Run() {
	s.start()
	s.Polish()
}

// start fills all slots, those with the fewest networks first, each as if all that
// are still open had their targets.
func (s *Search) start() {
	count, order := make([]int, len(s.nets)), make([]int, len(s.nets))
	for i := range order {
		count[i], order[i] = s.choices(i), i
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

// load puts networks into all slots; nil opens them.
func (s *Search) load(nets []network.Network) {
	for i := range s.nets {
		s.open(i)
	}
	for i, n := range nets {
		s.put(i, n)
	}
}
