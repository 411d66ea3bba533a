package branch

import (
	"slices"

	"shuntwright/match"
)

// node is what is still possible at one point of a search.
type node struct {
	chosen []int32   // for each slot a candidate, open or Undecided
	live   [][]int32 // for each slot the candidates that are left, ascending
	lo, hi []float64 // for each slot the least and the greatest value left
	box    match.Box // lo and hi, and the same for attributes
	seen   []int     // for each slot how many candidates were left when its attributes were last looked at; 0: never
	owner  []int32   // for each part the slot that has it for sure, or Nobody
	caps   []float64 // for each range what its error may be at most, with its limit
	floor  []float64 // for each range what its limit is at least; 0 where limits do not count
	least  []float64 // for each range what its error is at least
	most   []float64 // for each range what its error can be at most, by the windows
	ajar   int       // how many more slots may stay open
	parts  int       // the most parts in all

	order []int32   // room for the children
	keep  [][]int32 // room for live
}

// newNode returns a node for what a gauge knows; see frame.start and follow.
func newNode(g *gauge) *node {
	slots, ranges := len(g.tables), g.ranges
	box := match.NewBox(slots, g.attributes)
	return &node{chosen: make([]int32, slots), live: make([][]int32, slots), lo: box.Lo, hi: box.Hi, box: box, seen: make([]int, slots),
		owner: make([]int32, g.parts+1), caps: make([]float64, ranges), floor: make([]float64, ranges), least: make([]float64, ranges),
		most: make([]float64, ranges), keep: make([][]int32, slots)}
}

// follow makes n a copy of the node above it.
func (n *node) follow(up *node) {
	copy(n.chosen, up.chosen)
	copy(n.live, up.live)
	n.box.Copy(up.box)
	copy(n.seen, up.seen)
	copy(n.floor, up.floor)
	copy(n.owner, up.owner)
	copy(n.caps, up.caps)
	copy(n.least, up.least)
	copy(n.most, up.most)
	n.ajar, n.parts = up.ajar, up.parts
}

// narrow leaves slot s, with table t, no more than list.
func (n *node) narrow(s int32, list []int32, t *table) {
	n.live[s] = list
	if len(list) > 0 {
		n.lo[s], n.hi[s] = t.values[list[0]], t.values[list[len(list)-1]]
	}
}

// filter leaves slot s, with table t, the candidates for which keep is true,
// and tells whether any went.
func (n *node) filter(s int32, t *table, keep func(c int32) bool) bool {
	list := n.live[s]
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
	n.narrow(s, room, t)
	return true
}

// level is what is left for the error of range r beside the floor of its limit,
// rounding allowed for.
func (n *node) level(r int32) float64 { return n.caps[r] - n.floor[r] + match.Rounding }
