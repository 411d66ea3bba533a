package branch

// rules draws conclusions from parts at the nodes of one search after the
// other: which candidates are in no choice that uses no part twice, and whether
// there is any such choice.
type rules struct {
	*frame
	light    []int // room for weigh
	heaviest int   // how many parts all slots together may take
	prices   *multipliers
	groups   []group // room for gather
	served   []int32 // beside groups, their slots
	free     []bool  // for each part
}

// newRules returns the rules for the searches of a frame.
func newRules(f *frame) *rules {
	r := &rules{frame: f, light: make([]int, len(f.tables)), prices: newMultipliers(f.parts), free: make([]bool, f.parts)}
	for i := range f.tables {
		r.heaviest += f.tables[i].stride
	}
	return r
}

// tight tells whether parts are so scarce that a lack of them may rule something
// out.
func (r *rules) tight() bool { return 5*len(r.tables) >= 2*r.parts }

// relaxParts leaves out the candidates that are in no disjoint choice by the
// prices of the parts (a Lagrangian bound), where these are scarce and all lists
// short. It returns false if there is no such choice. Mixed circuits with scarce
// drawers take 3 to 9 times as long without.
func (r *rules) relaxParts(n *node) (changed, ok bool) {
	if !r.tight() || !r.gather(n) {
		return false, true
	}
	r.work++
	if !r.prices.bound(r.groups, r.free) {
		return false, false
	}
	for i, s := range r.served {
		if n.filter(s, &r.tables[s], func(c int32) bool { return !r.prices.dear(r.groups, i, c) }) {
			r.touch(s)
			changed = true
		}
	}
	return changed, true
}

// gather lists the slots that are still to be filled and the parts that they
// may take. It returns false if prices would not say much.
func (r *rules) gather(n *node) bool {
	r.groups, r.served = r.groups[:0], r.served[:0]
	for s := range n.chosen {
		s := int32(s)
		if n.chosen[s] != undecided || !r.bound(n, s) {
			continue
		}
		t, list := &r.tables[s], n.live[s]
		if len(list) == 0 || len(list) > long {
			return false
		}
		r.groups, r.served = append(r.groups, group{t.parts, t.stride, list}), append(r.served, s)
	}
	for p := range r.free {
		owner := n.owner[p]
		r.free[p] = owner == nobody || n.chosen[owner] == undecided
	}
	return len(r.groups) > 1
}
