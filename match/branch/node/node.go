// Package node holds what is known at one point of a branch and bound: for each
// slot a window of values and the candidates in it, for each part who has it,
// for each range bounds of what it counts for. Candidates have attributes
// beside their values, on which the limits of ranges depend; a node knows them
// by ranges too. A Goal says what plans are looked for and which of two comes
// first. A Gauge measures plans and single ranges, and a Record keeps the best
// plan that searches have found with what is proven of it; all that a gauge is
// asked is counted as work, and it looks at the context in all of it.
package node

import (
	"slices"

	"shuntwright/match"
)

// Node is what is still possible at one point of a search.
type Node struct {
	Chosen []int32   // for each slot a candidate, Open or Undecided
	Live   [][]int32 // for each slot the candidates that are left, ascending
	Lo, Hi []float64 // for each slot the least and the greatest value left
	Box    match.Box // Lo and Hi, and the same for attributes
	Seen   []int     // for each slot how many candidates were left when its attributes were last looked at; 0: never
	Owner  []int32   // for each part the slot that has it for sure, or Nobody
	Caps   []float64 // for each range what its error may be at most, with its limit
	Floor  []float64 // for each range what its limit is at least; 0 where limits do not count
	Least  []float64 // for each range what its error is at least
	Most   []float64 // for each range what its error can be at most, by the windows
	Ajar   int       // how many more slots may stay open
	Parts  int       // the most parts in all

	Order []int32   // room for the children
	keep  [][]int32 // room for Live
}

// New returns a node for what a gauge knows; see Frame.Start and Follow.
func New(g *Gauge) *Node {
	slots, ranges := len(g.Tables), g.Ranges
	box := match.NewBox(slots, g.Attributes)
	return &Node{Chosen: make([]int32, slots), Live: make([][]int32, slots), Lo: box.Lo, Hi: box.Hi, Box: box, Seen: make([]int, slots),
		Owner: make([]int32, g.Parts+1), Caps: make([]float64, ranges), Floor: make([]float64, ranges), Least: make([]float64, ranges),
		Most: make([]float64, ranges), keep: make([][]int32, slots)}
}

// Follow makes n a copy of the node above it.
func (n *Node) Follow(up *Node) {
	copy(n.Chosen, up.Chosen)
	copy(n.Live, up.Live)
	n.Box.Copy(up.Box)
	copy(n.Seen, up.Seen)
	copy(n.Floor, up.Floor)
	copy(n.Owner, up.Owner)
	copy(n.Caps, up.Caps)
	copy(n.Least, up.Least)
	copy(n.Most, up.Most)
	n.Ajar, n.Parts = up.Ajar, up.Parts
}

// Narrow leaves slot s, with table t, no more than list.
func (n *Node) Narrow(s int32, list []int32, t *Table) {
	n.Live[s] = list
	if len(list) > 0 {
		n.Lo[s], n.Hi[s] = t.Values[list[0]], t.Values[list[len(list)-1]]
	}
}

// Filter leaves slot s, with table t, the candidates for which keep is true,
// and tells whether any went.
func (n *Node) Filter(s int32, t *Table, keep func(c int32) bool) bool {
	list := n.Live[s]
	i := slices.IndexFunc(list, func(c int32) bool { return !keep(c) })
	if i < 0 {
		return false
	}
	room := append(n.keep[s][:0], list[:i]...)
	for _, c := range list[i+1:] {
		if keep(c) {
			room = append(room, c)
		}
	}
	n.keep[s] = room
	n.Narrow(s, room, t)
	return true
}

// Level is what is left for the error of range r beside the floor of its limit,
// rounding allowed for.
func (n *Node) Level(r int32) float64 { return n.Caps[r] - n.Floor[r] + match.Rounding }
