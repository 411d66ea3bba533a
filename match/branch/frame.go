package branch

import (
	"math"
	"slices"
)

// frame is what holds at all nodes of one search, and which ranges are still to
// be looked at at the node at hand.
type frame struct {
	*gauge
	goal     goal
	scenario *scenario
	held     []bool // for each slot whether it must be filled though the scenario lets it stay open
	stale    int    // how many ranges must be looked at again
	dirty    []bool // which
}

// newFrame returns the frame of searches without a goal as yet.
func newFrame(g *gauge) *frame {
	return &frame{gauge: g, dirty: make([]bool, g.ranges), held: make([]bool, len(g.tables))}
}

// start makes n the first node of a search among the listed candidates of each
// slot, and notes that all ranges are to be looked at. It returns false if a
// slot that must be filled has none.
func (f *frame) start(n *node, lists [][]int32) bool {
	n.ajar, n.parts = f.scenario.open, min(f.goal.parts, f.parts)
	for p := range n.owner {
		n.owner[p] = nobody
	}
	f.forget()
	clear(n.seen)
	clear(n.floor)
	for _, r := range f.scenario.ranges {
		n.caps[r], n.least[r], n.most[r] = f.goal.level(0), 0, math.Inf(1)
		f.touchRange(r)
	}
	for s := range n.chosen {
		n.chosen[s] = undecided
		n.narrow(int32(s), lists[s], &f.tables[s])
		if !f.alive(n, int32(s)) {
			return false
		}
	}
	return true
}

// touch notes that something has changed for the ranges of slot s.
func (f *frame) touch(s int32) {
	for _, r := range f.links.ranges[s] {
		f.touchRange(r)
	}
}

// touchRange notes that something has changed for range r, if that is to be whole.
func (f *frame) touchRange(r int32) {
	if f.scenario.whole[r] && !f.dirty[r] {
		f.dirty[r] = true
		f.stale++
	}
}

// forget drops what a node that was given up has left to look at.
func (f *frame) forget() {
	clear(f.dirty)
	f.stale = 0
}

// take tells whether range r is to be looked at, and notes that it has been.
func (f *frame) take(r int) bool {
	if !f.dirty[r] {
		return false
	}
	f.dirty[r] = false
	f.stale--
	return true
}

// long is how many candidates are too many to look at one by one at every node.
// Their parts matter only when halving has left fewer: a ring of eight from 500
// parts is 3 times faster for it.
const long = 256

// short tells whether the candidates of slot s are to be looked at one by one.
// A slot that moves no range is never halved.
func (f *frame) short(n *node, s int32) bool {
	return len(n.live[s]) <= long || !f.moves(s)
}

// bound tells whether slot s must be filled.
func (f *frame) bound(n *node, s int32) bool { return f.scenario.must[s] || f.held[s] || n.ajar == 0 }

// alive opens slot s if nothing is left for it. It returns false if that is not
// allowed.
func (f *frame) alive(n *node, s int32) bool {
	if len(n.live[s]) > 0 {
		return true
	}
	if f.bound(n, s) {
		return false
	}
	n.chosen[s] = open
	n.ajar--
	return true
}

// moves tells whether slot s moves a range that is to be whole.
func (f *frame) moves(s int32) bool {
	return slices.ContainsFunc(f.links.ranges[s], func(r int32) bool { return f.scenario.whole[r] })
}
