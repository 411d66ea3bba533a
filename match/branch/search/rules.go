package search

import "shuntwright/match/branch/node"

// rules draws conclusions from parts at the nodes of one search after the
// other: which candidates are in no choice that uses no part twice, and whether
// there is any such choice.
type rules struct {
	*node.Frame
	light      []int // room for weigh
	lagrangian lagrangian
}

// newRules returns the rules for the searches of a frame.
func newRules(f *node.Frame) *rules {
	return &rules{Frame: f, light: make([]int, len(f.Tables)), lagrangian: newLagrangian(f.Gauge)}
}

// tight tells whether so few parts a slot are left that they may be the reason
// for a failure.
func (r *rules) tight() bool { return 5*len(r.Tables) >= 2*r.Parts }
