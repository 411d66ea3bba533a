package coupled

import "shuntwright/match/coupled/node"

// rules draws conclusions from parts.
type rules struct {
	*node.Frame
	light    []int // room for weigh
	market   market
	scarcity scarcity
}

func newRules(f *node.Frame) *rules {
	return &rules{Frame: f, light: make([]int, len(f.Tables)), market: newMarket(f.Gauge)}
}

// start makes ready for a search among the listed candidates of each slot.
func (r *rules) start(lists [][]int32) { r.scarcity = scarcity{lists: lists, credit: trust} }
