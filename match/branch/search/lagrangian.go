package search

import "shuntwright/match/branch/node"

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

func newLagrangian(s *node.Gauge) lagrangian {
	m := lagrangian{prices: newMultipliers(s.Parts), free: make([]bool, s.Parts)}
	for i := range s.Tables {
		m.heaviest += s.Tables[i].Stride
	}
	return m
}

// relaxParts leaves out the candidates that are in no disjoint choice by the
// prices of the parts, where these are scarce and all lists short. It returns
// false if there is no such choice.
func (r *rules) relaxParts(n *node.Node) (changed, ok bool) {
	if !r.tight() || !r.gather(n) {
		return false, true
	}
	m := &r.lagrangian
	r.Work++
	if !m.prices.bound(m.groups, m.free, subgradientSteps) {
		return false, false
	}
	for i, s := range m.served {
		if n.Filter(s, &r.Tables[s], func(c int32) bool { return !m.prices.dear(m.groups, i, c) }) {
			r.Touch(s)
			changed = true
		}
	}
	return changed, true
}

// gather lists the slots that are still to be filled and the parts that they
// may take. It returns false if prices would not say much.
func (r *rules) gather(n *node.Node) bool {
	m := &r.lagrangian
	m.groups, m.served = m.groups[:0], m.served[:0]
	for s := range n.Chosen {
		s := int32(s)
		if n.Chosen[s] != node.Undecided || !r.Bound(n, s) {
			continue
		}
		t, list := &r.Tables[s], n.Live[s]
		if len(list) == 0 || len(list) > node.Long {
			return false
		}
		m.groups, m.served = append(m.groups, group{t.Parts, t.Stride, list}), append(m.served, s)
	}
	for p := range m.free {
		owner := n.Owner[p]
		m.free[p] = owner == node.Nobody || n.Chosen[owner] == node.Undecided
	}
	return len(m.groups) > 1
}
