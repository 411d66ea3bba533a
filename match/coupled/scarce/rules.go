// Package scarce draws conclusions from parts: which candidates are in no choice that uses no part twice, given what is still possible, and
// whether there is any such choice.
package scarce

import "shuntwright/match/coupled/node"

// Rules draws the conclusions at the nodes of one search after the other.
type Rules struct {
	*node.Frame
	light    []int // room for weigh
	market   market
	scarcity scarcity
}

// NewRules returns the rules for the searches of a frame.
func NewRules(f *node.Frame) *Rules {
	return &Rules{Frame: f, light: make([]int, len(f.Tables)), market: newMarket(f.Gauge)}
}

// Begin makes ready for a search among the listed candidates of each slot.
func (r *Rules) Begin(lists [][]int32) { r.scarcity = scarcity{lists: lists, credit: trust} }
