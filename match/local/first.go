package local

import (
	"shuntwright/match"
	"shuntwright/match/network"
)

// First looks for the first choice for the slots of a circuit, which are
// filled, that comes before a bar, as if all parts were free. It returns nil
// where there is none, and whether everything was looked at; else the context
// has ended or so many steps were taken, and the choice is the first of those
// met.
func (s *Search) First(slots []int, bar *match.Key, limit int) (nets []network.Network, complete bool) {
	b := s.newBox(everybody, false, slots...)
	b.best.Copy(bar)
	b.limit, b.until = limit, s.Context
	old := make([]network.Network, len(slots))
	for k, i := range slots {
		old[k] = s.open(i)
	}
	b.run(network.MaxParts)
	for k, i := range slots {
		s.put(i, old[k])
	}
	return b.found, !b.halted
}
