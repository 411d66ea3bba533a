package search

import (
	"math"

	"shuntwright/match/branch/node"
)

// Share draws the conclusions from parts: who must have them, which candidates
// that rules out, and whether parts are left over. It tells whether anything
// changed, and ok is false where nothing is possible below n.
func (r *rules) Share(n *node.Node) (changed, ok bool) {
	if !r.own(n) {
		return false, false
	}
	for s := range n.Chosen {
		s := int32(s)
		if n.Chosen[s] != node.Undecided {
			continue
		}
		t := &r.Tables[s]
		if r.Short(n, s) && n.Filter(s, t, func(c int32) bool { return !t.Clashes(c, n.Owner, s) }) {
			r.Touch(s)
			changed = true
		}
		if !r.Alive(n, s) {
			return false, false
		}
	}
	lighter, ok := r.weigh(n)
	if !ok || changed || lighter {
		return changed || lighter, ok
	}
	return r.relaxParts(n)
}

// own gives every slot the parts that all its candidates hold, and decides
// slots with only one candidate.
func (r *rules) own(n *node.Node) bool {
	for s := range n.Chosen {
		s, list := int32(s), n.Live[s]
		if n.Chosen[s] != node.Undecided || !r.Bound(n, s) || len(list) == 0 || len(list) > 64 {
			continue
		}
		t := &r.Tables[s]
		for _, p := range t.Of(list[0]) {
			if n.Owner[p] == s || !t.InAll(p, list) {
				continue
			}
			if n.Owner[p] != node.Nobody {
				return false
			}
			n.Owner[p] = s
		}
		if len(list) == 1 {
			n.Chosen[s] = list[0]
		}
	}
	return true
}

// weigh keeps to the most parts in all, and to as many as there are: what the
// others need at least leaves so much for each.
func (r *rules) weigh(n *node.Node) (changed, ok bool) {
	most := n.Parts
	if most >= r.lagrangian.heaviest {
		return false, true
	}
	total := 0
	for s := range n.Chosen {
		r.light[s] = r.lightest(n, int32(s))
		total += r.light[s]
	}
	spare := most - total
	if spare < 0 {
		return false, false
	}
	for s := range n.Chosen {
		s := int32(s)
		if n.Chosen[s] != node.Undecided {
			continue
		}
		t, most := &r.Tables[s], int32(min(r.light[s]+spare, math.MaxInt32))
		if r.Short(n, s) && n.Filter(s, t, func(c int32) bool { return t.Sizes[c] <= most }) {
			r.Touch(s)
			changed = true
		}
		if !r.Alive(n, s) {
			return false, false
		}
	}
	return changed, true
}

// lightest is how few parts slot s can do with.
func (r *rules) lightest(n *node.Node, s int32) int {
	switch {
	case n.Chosen[s] >= 0:
		return int(r.Tables[s].Sizes[n.Chosen[s]])
	case n.Chosen[s] == node.Open || !r.Bound(n, s):
		return 0
	}
	if !r.Short(n, s) {
		return int(r.Tables[s].Least)
	}
	least := int32(math.MaxInt32)
	for _, c := range n.Live[s] {
		least = min(least, r.Tables[s].Sizes[c])
	}
	return int(least)
}
