package sat

// propagate draws all conclusions; on failure it returns false and leaves
// literals that cannot all be false in conflict.
func (s *search) propagate() bool {
	for s.done < len(s.trail) {
		l := s.trail[s.done]
		s.done++
		ok := true
		if l.negative() {
			ok = s.need(s.group[l.item()])
		} else {
			ok = s.rivals(l.item()) && s.crowd(l.item())
		}
		if !ok || !s.visit(l.opposite()) {
			return false
		}
	}
	return true
}

// rivals rules out the other items of the group.
func (s *search) rivals(item int32) bool {
	for _, other := range s.groups[s.group[item]] {
		if other == item {
			continue
		}
		switch s.value[other] {
		case taken:
			s.conflict = append(s.conflict[:0], leave(item), leave(other))
			return false
		case unknown:
			s.assign(leave(other), reason{kind: byRival, of: item})
		}
	}
	return true
}

// crowd rules out items for which there is no room left beside item.
func (s *search) crowd(item int32) bool {
	for _, u := range s.uses[item] {
		r := u.Resource
		if s.room[r] < 0 {
			s.conflict = s.crowding(s.conflict[:0], r, int32(len(s.trail)))
			return false
		}
		for _, other := range s.users[r] {
			if s.value[other] == unknown && s.unitsOf(other, r) > s.room[r] {
				s.assign(leave(other), reason{kind: byRoom, of: r})
			}
		}
	}
	return true
}

// crowding appends, as false literals, the items that took resource r before a
// place in the trail.
func (s *search) crowding(list []literal, r, before int32) []literal {
	for _, item := range s.users[r] {
		if s.value[item] == taken && s.place[item] < before {
			list = append(list, leave(item))
		}
	}
	return list
}

// need takes the last item that a group has left.
func (s *search) need(g int32) bool {
	if s.left[g] > 1 {
		return true
	}
	for _, item := range s.groups[g] {
		switch s.value[item] {
		case taken:
			return true
		case unknown:
			s.assign(take(item), reason{kind: byNeed, of: g})
			return true
		}
	}
	s.conflict = s.others(s.conflict[:0], g, -1)
	return false
}

// others appends the items of a group but one.
func (s *search) others(list []literal, g, but int32) []literal {
	for _, item := range s.groups[g] {
		if item != but {
			list = append(list, take(item))
		}
	}
	return list
}

// visit looks at the clauses that watch l, which has become false.
func (s *search) visit(l literal) bool {
	list := s.watches[l]
	kept := list[:0]
	for k, c := range list {
		if c.dead {
			continue
		}
		if !s.rewatch(c, l) {
			continue
		}
		kept = append(kept, c)
		first := c.literals[0]
		if s.isTrue(first) {
			continue
		}
		if s.isFalse(first) {
			kept = append(kept, list[k+1:]...)
			s.watches[l] = kept
			s.conflict = append(s.conflict[:0], c.literals...)
			return false
		}
		s.assign(first, reason{kind: byClause, c: c})
	}
	s.watches[l] = kept
	return true
}

// rewatch returns whether c has still to watch l, then as its second literal.
func (s *search) rewatch(c *clause, l literal) bool {
	w := c.literals
	if w[0] == l {
		w[0], w[1] = w[1], w[0]
	}
	if s.isTrue(w[0]) {
		return true
	}
	for k := 2; k < len(w); k++ {
		if !s.isFalse(w[k]) {
			w[1], w[k] = w[k], w[1]
			s.watches[w[1]] = append(s.watches[w[1]], c)
			return false
		}
	}
	return true
}
