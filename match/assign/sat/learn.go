package sat

import "slices"

// learn draws from the literals in conflict, all of them false, a clause with a
// single literal of the last level it touches, goes back to where that literal
// follows, and makes it true. It returns false if there is no choice at all.
func (s *search) learn() bool {
	top := int32(0)
	for _, l := range s.conflict {
		top = max(top, s.level[l.item()])
	}
	if top == 0 {
		return false
	}
	s.back(top)
	c := s.resolve(s.conflict)
	s.decay()
	to := int32(0)
	for k := 1; k < len(c); k++ {
		if lv := s.level[c[k].item()]; lv > to {
			to = lv
			c[1], c[k] = c[k], c[1]
		}
	}
	s.back(to)
	if len(c) == 1 {
		s.assign(c[0], reason{kind: byClause, c: &clause{literals: c}})
		return true
	}
	kept := &clause{literals: c}
	s.learnt = append(s.learnt, kept)
	s.watches[c[0]] = append(s.watches[c[0]], kept)
	s.watches[c[1]] = append(s.watches[c[1]], kept)
	s.assign(c[0], reason{kind: byClause, c: kept})
	s.forget()
	return true
}

// resolve replaces literals of the current level by their reasons until one is
// left, and returns the clause with it first.
func (s *search) resolve(conflict []literal) []literal {
	clause := []literal{0}
	var marked []int32
	open := 0
	add := func(list []literal) {
		for _, l := range list {
			item := l.item()
			if s.seen[item] || s.level[item] == 0 {
				continue
			}
			s.seen[item] = true
			marked = append(marked, item)
			s.score[item] += s.bump
			if s.level[item] == s.depth() {
				open++
			} else {
				clause = append(clause, l)
			}
		}
	}
	add(conflict)
	var buffer []literal
	for at := len(s.trail) - 1; ; at-- {
		l := s.trail[at]
		if !s.seen[l.item()] {
			continue
		}
		if open--; open == 0 {
			clause[0] = l.opposite()
			break
		}
		buffer = s.explain(buffer[:0], l)
		add(buffer)
	}
	clause = s.shorten(clause, &marked)
	for _, item := range marked {
		s.seen[item] = false
	}
	return clause
}

// explain appends the false literals from which l follows.
func (s *search) explain(list []literal, l literal) []literal {
	item := l.item()
	switch why := s.why[item]; why.kind {
	case byRival:
		return append(list, leave(why.of))
	case byRoom:
		return s.crowding(list, why.of, s.place[item])
	case byNeed:
		return s.others(list, why.of, item)
	case byPrice:
		return s.blame(list, why.by, s.group[item], why.of)
	case byClause:
		for _, other := range why.c.literals {
			if other != l {
				list = append(list, other)
			}
		}
	}
	return list
}

// shorten replaces items ruled out by a single item taken at an earlier level
// by that item, and drops literals that follow from the others. Without it one
// published instance takes 20 times as long.
func (s *search) shorten(clause []literal, marked *[]int32) []literal {
	var buffer []literal
	kept := clause[:1]
	rest := slices.Clone(clause[1:])
	for k := 0; k < len(rest); k++ {
		l := rest[k]
		if why := s.why[l.item()]; !l.negative() && (why.kind == byRival || why.kind == byRoom) {
			buffer = s.explain(buffer[:0], l.opposite())
			if len(buffer) == 1 {
				if by := buffer[0].item(); s.level[by] > 0 && !s.seen[by] {
					s.seen[by] = true
					*marked = append(*marked, by)
					rest = append(rest, buffer[0])
				}
				continue
			}
		}
		kept = append(kept, l)
	}
	return slices.DeleteFunc(kept, func(l literal) bool {
		if kind := s.why[l.item()].kind; l == kept[0] || kind == decided || kind == byPrice {
			return false
		}
		buffer = s.explain(buffer[:0], l.opposite())
		return !slices.ContainsFunc(buffer, func(o literal) bool { return !s.seen[o.item()] && s.level[o.item()] > 0 })
	})
}

// decay makes what comes later count more. Where all items count the same,
// published instances take 13 times as long.
func (s *search) decay() {
	if s.bump *= 1.05; s.bump > 1e100 {
		for i := range s.score {
			s.score[i] *= 1e-100
		}
		s.bump *= 1e-100
	}
}

// forget drops the older half of the clauses when there are many, so that memory
// stays in bounds in a search of hours.
func (s *search) forget() {
	if len(s.learnt) < s.memory {
		return
	}
	half := len(s.learnt) / 2
	kept := s.learnt[:0]
	for k, c := range s.learnt {
		if c.dead = k < half && len(c.literals) > 2 && s.why[c.literals[0].item()].c != c; !c.dead {
			kept = append(kept, c)
		}
	}
	clear(s.learnt[len(kept):])
	s.learnt = kept
}
