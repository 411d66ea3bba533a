package coupled

import (
	"math"
	"slices"

	"shuntwright/match/coupled/candidate"
)

// share draws the conclusions from parts: who must have them, which candidates that rules out, and whether parts are left over. It
// tells whether anything changed.
func (d *dfs) share(n *node) (changed, ok bool) {
	if !d.own(n) {
		return false, false
	}
	for s := range n.chosen {
		s := int32(s)
		if n.chosen[s] != candidate.Undecided {
			continue
		}
		t := &d.Tables[s]
		if d.short(n, s) && n.filter(s, t, func(c int32) bool { return !t.Clashes(c, n.owner, s) }) {
			d.touch(s)
			changed = true
		}
		if !d.alive(n, s) {
			return false, false
		}
	}
	lighter, ok := d.weigh(n)
	if !ok || changed || lighter {
		return changed || lighter, ok
	}
	return d.bargain(n)
}

// long is how many candidates are too many to look at one by one at every node. Their parts matter only when halving has left fewer.
const long = 256

// short tells whether the candidates of slot s are to be looked at one by one. A slot that moves no range is never halved.
func (d *dfs) short(n *node, s int32) bool {
	return len(n.live[s]) <= long || !d.moves(s)
}

// own gives every slot the parts that all its candidates hold, and decides slots with only one candidate.
func (d *dfs) own(n *node) bool {
	for s := range n.chosen {
		s, list := int32(s), n.live[s]
		if n.chosen[s] != candidate.Undecided || !d.bound(n, s) || len(list) == 0 || len(list) > 64 {
			continue
		}
		t := &d.Tables[s]
		for _, p := range t.Of(list[0]) {
			if n.owner[p] == s || !t.InAll(p, list) {
				continue
			}
			if n.owner[p] != candidate.Nobody {
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

// bound tells whether slot s must be filled.
func (d *dfs) bound(n *node, s int32) bool { return d.sc.Must[s] || d.held[s] || n.ajar == 0 }

// alive opens slot s if nothing is left for it. It returns false if that is not allowed.
func (d *dfs) alive(n *node, s int32) bool {
	if len(n.live[s]) > 0 {
		return true
	}
	if d.bound(n, s) {
		return false
	}
	n.chosen[s] = candidate.Open
	n.ajar--
	return true
}

// weigh keeps to the most parts in all, and to as many as there are: what the others need at least leaves so much for each.
func (d *dfs) weigh(n *node) (changed, ok bool) {
	most := min(d.goal.Parts, d.Parts)
	if most >= d.market.heaviest {
		return false, true
	}
	total := 0
	for s := range n.chosen {
		d.light[s] = d.lightest(n, int32(s))
		total += d.light[s]
	}
	spare := most - total
	if spare < 0 {
		return false, false
	}
	for s := range n.chosen {
		s := int32(s)
		if n.chosen[s] != candidate.Undecided {
			continue
		}
		t, most := &d.Tables[s], int32(min(d.light[s]+spare, math.MaxInt32))
		if d.short(n, s) && n.filter(s, t, func(c int32) bool { return t.Sizes[c] <= most }) {
			d.touch(s)
			changed = true
		}
		if !d.alive(n, s) {
			return false, false
		}
	}
	return changed, true
}

// lightest is how few parts slot s can do with.
func (d *dfs) lightest(n *node, s int32) int {
	switch {
	case n.chosen[s] >= 0:
		return int(d.Tables[s].Sizes[n.chosen[s]])
	case n.chosen[s] == candidate.Open || !d.bound(n, s):
		return 0
	}
	if !d.short(n, s) {
		return int(d.Tables[s].Least)
	}
	least := int32(math.MaxInt32)
	for _, c := range n.live[s] {
		least = min(least, d.Tables[s].Sizes[c])
	}
	return int(least)
}

// moves tells whether slot s moves a range that is to be whole.
func (d *dfs) moves(s int32) bool {
	return slices.ContainsFunc(d.Links.Ranges[s], func(r int32) bool { return d.sc.Whole[r] })
}
