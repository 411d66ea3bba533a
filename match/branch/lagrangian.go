package branch

// subgradientSteps is how many prices are tried at a node. They are kept from
// node to node, so that few do.
const subgradientSteps = 4

// lagrangian asks by prices of the parts whether a disjoint choice is left: a
// cheap bound beside that of package sat.
type lagrangian struct {
	heaviest int // how many parts all slots together may take
	prices   *multipliers
	groups   []group
	served   []int32 // beside groups, their slots
	free     []bool  // for each part
}

func newLagrangian(s *gauge) lagrangian {
	m := lagrangian{prices: newMultipliers(s.parts), free: make([]bool, s.parts)}
	for i := range s.tables {
		m.heaviest += s.tables[i].stride
	}
	return m
}

// relaxParts leaves out the candidates that are in no disjoint choice by the
// prices of the parts, where these are scarce and all lists short. It returns
// false if there is no such choice.
func (r *rules) relaxParts(n *node) (changed, ok bool) {
	if !r.tight() || !r.gather(n) {
		return false, true
	}
	m := &r.lagrangian
	r.work++
	if !m.prices.bound(m.groups, m.free, subgradientSteps) {
		return false, false
	}
	for i, s := range m.served {
		if n.filter(s, &r.tables[s], func(c int32) bool { return !m.prices.dear(m.groups, i, c) }) {
			r.touch(s)
			changed = true
		}
	}
	return changed, true
}

// gather lists the slots that are still to be filled and the parts that they
// may take. It returns false if prices would not say much.
func (r *rules) gather(n *node) bool {
	m := &r.lagrangian
	m.groups, m.served = m.groups[:0], m.served[:0]
	for s := range n.chosen {
		s := int32(s)
		if n.chosen[s] != undecided || !r.bound(n, s) {
			continue
		}
		t, list := &r.tables[s], n.live[s]
		if len(list) == 0 || len(list) > long {
			return false
		}
		m.groups, m.served = append(m.groups, group{t.parts, t.stride, list}), append(m.served, s)
	}
	for p := range m.free {
		owner := n.owner[p]
		m.free[p] = owner == nobody || n.chosen[owner] == undecided
	}
	return len(m.groups) > 1
}
