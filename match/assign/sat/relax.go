package sat

import "shuntwright/match/assign/relax"

// relaxation starts one afresh.
func (s *search) relaxation() *relax.Relaxation {
	return relax.New(relax.Problem{Groups: len(s.groups), Group: s.group, Uses: s.uses, Users: s.users, Room: s.full})
}

// relax asks the relaxation about the items not ruled out. If it has no
// solution, it returns false and leaves in conflict the items of which one
// would have to be taken.
func (s *search) relax() bool {
	for item, v := range s.value {
		s.relaxed.Forbid(item, v == ruledOut)
	}
	if s.relaxed.Solve(s.cuts && s.depth() == 0, func() bool { return s.ctx.Err() != nil }) {
		return true
	}
	price, worth := s.relaxed.Prices()
	return !s.priced(&dual{price: price, worth: worth})
}

// priced checks in integers that at a dual solution the cheapest items not
// ruled out, one a group, cost more than all the room is worth. If so it keeps
// the solution and leaves in conflict the items to blame.
func (s *search) priced(t *dual) bool {
	t.sort(s.groups)
	if s.leastPrices(t) >= 0 {
		return false
	}
	s.conflict = s.blame(s.conflict[:0], t, -1, int32(len(s.trail)))
	s.keep(t)
	return true
}
