package search

import "shuntwright/match/branch/node"

// haggling is how many prices are tried at a node. They are kept from node to node, so that few do.
const haggling = 4

// market asks by prices of the parts whether a disjoint choice is left: a cheap bound beside that of package sat.
type market struct {
	heaviest int // how many parts all slots together may take
	prices   *Market
	groups   []Group
	buyers   []int32 // beside groups, their slots
	free     []bool  // for each part
}

func newMarket(s *node.Gauge) market {
	m := market{prices: NewMarket(s.Parts), free: make([]bool, s.Parts)}
	for i := range s.Tables {
		m.heaviest += s.Tables[i].Stride
	}
	return m
}

// bargain leaves out the candidates that are in no disjoint choice by the prices of the parts, where these are scarce and all lists
// short. It returns false if there is no such choice.
func (r *Rules) bargain(n *node.Node) (changed, ok bool) {
	if !r.tight() || !r.gather(n) {
		return false, true
	}
	m := &r.market
	r.Work++
	if !m.prices.Bargain(m.groups, m.free, haggling) {
		return false, false
	}
	for i, s := range m.buyers {
		if n.Filter(s, &r.Tables[s], func(c int32) bool { return !m.prices.Dear(m.groups, i, c) }) {
			r.Touch(s)
			changed = true
		}
	}
	return changed, true
}

// gather lists the slots that are still to be filled and the parts that they may take. It returns false if prices would not say much.
func (r *Rules) gather(n *node.Node) bool {
	m := &r.market
	m.groups, m.buyers = m.groups[:0], m.buyers[:0]
	for s := range n.Chosen {
		s := int32(s)
		if n.Chosen[s] != node.Undecided || !r.Bound(n, s) {
			continue
		}
		t, list := &r.Tables[s], n.Live[s]
		if len(list) == 0 || len(list) > node.Long {
			return false
		}
		m.groups, m.buyers = append(m.groups, Group{Parts: t.Parts, Stride: t.Stride, Live: list}), append(m.buyers, s)
	}
	for p := range m.free {
		owner := n.Owner[p]
		m.free[p] = owner == node.Nobody || n.Chosen[owner] == node.Undecided
	}
	return len(m.groups) > 1
}
