package node

import (
	"math"
	"slices"
)

// Frame is what holds at all nodes of one search, and which ranges are still to
// be looked at at the node at hand.
type Frame struct {
	*Gauge
	Goal  Goal
	Case  *Scenario
	Held  []bool // for each slot whether it must be filled though the scenario lets it stay open
	Stale int    // how many ranges must be looked at again
	dirty []bool // which
}

// NewFrame returns the frame of searches without a goal as yet.
func NewFrame(g *Gauge) *Frame {
	return &Frame{Gauge: g, dirty: make([]bool, g.Ranges), Held: make([]bool, len(g.Tables))}
}

// Start makes n the first node of a search among the listed candidates of each
// slot, and notes that all ranges are to be looked at. It returns false if a
// slot that must be filled has none.
func (f *Frame) Start(n *Node, lists [][]int32) bool {
	n.Ajar, n.Parts = f.Case.Open, min(f.Goal.Parts, f.Parts)
	for p := range n.Owner {
		n.Owner[p] = Nobody
	}
	f.Forget()
	clear(n.Seen)
	clear(n.Floor)
	for _, r := range f.Case.Ranges {
		n.Caps[r], n.Least[r], n.Most[r] = f.Goal.Level(0), 0, math.Inf(1)
		f.TouchRange(r)
	}
	for s := range n.Chosen {
		n.Chosen[s] = Undecided
		n.Narrow(int32(s), lists[s], &f.Tables[s])
		if !f.Alive(n, int32(s)) {
			return false
		}
	}
	return true
}

// Touch notes that something has changed for the ranges of slot s.
func (f *Frame) Touch(s int32) {
	for _, r := range f.Links.Ranges[s] {
		f.TouchRange(r)
	}
}

// TouchRange notes that something has changed for range r, if that is to be whole.
func (f *Frame) TouchRange(r int32) {
	if f.Case.Whole[r] && !f.dirty[r] {
		f.dirty[r] = true
		f.Stale++
	}
}

// Forget drops what a node that was given up has left to look at.
func (f *Frame) Forget() {
	clear(f.dirty)
	f.Stale = 0
}

// Take tells whether range r is to be looked at, and notes that it has been.
func (f *Frame) Take(r int) bool {
	if !f.dirty[r] {
		return false
	}
	f.dirty[r] = false
	f.Stale--
	return true
}

// Long is how many candidates are too many to look at one by one at every node.
// Their parts matter only when halving has left fewer.
const Long = 256

// Short tells whether the candidates of slot s are to be looked at one by one.
// A slot that moves no range is never halved.
func (f *Frame) Short(n *Node, s int32) bool {
	return len(n.Live[s]) <= Long || !f.moves(s)
}

// Bound tells whether slot s must be filled.
func (f *Frame) Bound(n *Node, s int32) bool { return f.Case.Must[s] || f.Held[s] || n.Ajar == 0 }

// Alive opens slot s if nothing is left for it. It returns false if that is not
// allowed.
func (f *Frame) Alive(n *Node, s int32) bool {
	if len(n.Live[s]) > 0 {
		return true
	}
	if f.Bound(n, s) {
		return false
	}
	n.Chosen[s] = Open
	n.Ajar--
	return true
}

// moves tells whether slot s moves a range that is to be whole.
func (f *Frame) moves(s int32) bool {
	return slices.ContainsFunc(f.Links.Ranges[s], func(r int32) bool { return f.Case.Whole[r] })
}
