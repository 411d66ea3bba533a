package branch

import "math"

// share draws the conclusions from parts: who must have them, which candidates
// that rules out, and whether parts are left over. It tells whether anything
// changed, and ok is false where nothing is possible below n.
func (r *rules) share(n *node) (changed, ok bool) {
	if !r.own(n) {
		return false, false
	}
	for s := range n.chosen {
		s := int32(s)
		if n.chosen[s] != undecided {
			continue
		}
		t := &r.tables[s]
		if r.short(n, s) && n.filter(s, t, func(c int32) bool { return !t.clashes(c, n.owner, s) }) {
			r.touch(s)
			changed = true
		}
		if !r.alive(n, s) {
			return false, false
		}
	}
	lighter, ok := r.weigh(n)
	if !ok || changed || lighter {
		return changed || lighter, ok
	}
	return r.relaxParts(n)
}

// own gives every slot the parts that all its candidates hold (which saves a
// sixth of the time), and decides slots with only one candidate.
func (r *rules) own(n *node) bool {
	for s := range n.chosen {
		s, list := int32(s), n.live[s]
		if n.chosen[s] != undecided || !r.bound(n, s) || len(list) == 0 || len(list) > 64 {
			continue
		}
		t := &r.tables[s]
		for _, p := range t.of(list[0]) {
			if n.owner[p] == s || !t.inAll(p, list) {
				continue
			}
			if n.owner[p] != nobody {
				return false
			}
			n.owner[p] = s
		}
		if len(list) == 1 {
			n.chosen[s] = list[0]
		}
	}
	return true
}

// weigh leaves out the candidates that take more parts than there are left when
// all other slots take their fewest (without it there are 45 times as many nodes
// where fewer parts decide). ok is false where even the fewest of all are too many.
func (r *rules) weigh(n *node) (changed, ok bool) {
	most := n.parts
	if most >= r.heaviest {
		return false, true
	}
	total := 0
	for s := range n.chosen {
		r.light[s] = r.lightest(n, int32(s))
		total += r.light[s]
	}
	spare := most - total
	if spare < 0 {
		return false, false
	}
	for s := range n.chosen {
		s := int32(s)
		if n.chosen[s] != undecided {
			continue
		}
		t, most := &r.tables[s], int32(min(r.light[s]+spare, math.MaxInt32))
		if r.short(n, s) && n.filter(s, t, func(c int32) bool { return t.sizes[c] <= most }) {
			r.touch(s)
			changed = true
		}
		if !r.alive(n, s) {
			return false, false
		}
	}
	return changed, true
}

// lightest is how few parts slot s can do with.
func (r *rules) lightest(n *node, s int32) int {
	switch {
	case n.chosen[s] >= 0:
		return int(r.tables[s].sizes[n.chosen[s]])
	case n.chosen[s] == open || !r.bound(n, s):
		return 0
	}
	if !r.short(n, s) {
		return int(r.tables[s].least)
	}
	least := int32(math.MaxInt32)
	for _, c := range n.live[s] {
		least = min(least, r.tables[s].sizes[c])
	}
	return int(least)
}
