package coupled

import (
	"slices"

	"shuntwright/match/coupled/candidate"
	"shuntwright/match/coupled/trait"
)

// node is what is still possible at one point of a search.
type node struct {
	chosen []int32   // for each slot a candidate, open or undecided
	live   [][]int32 // for each slot the candidates that are left, ascending
	lo, hi []float64 // for each slot the least and the greatest value left
	box    trait.Box // lo and hi, and the same for traits
	seen   []int     // for each slot how many candidates were left when its traits were last looked at; 0: never
	owner  []int32   // for each part the slot that has it for sure, or nobody
	caps   []float64 // for each range what its error may be at most, with its limit
	floor  []float64 // for each range what its limit is at least; 0 where limits do not count
	least  []float64 // for each range what its error is at least
	most   []float64 // for each range what its error can be at most, by the windows
	ajar   int       // how many more slots may stay open

	keep  [][]int32 // room for live
	order []int32   // room for the children
}

func newNode(slots, parts, ranges, traits int) *node {
	box := trait.NewBox(slots, traits)
	return &node{chosen: make([]int32, slots), live: make([][]int32, slots), lo: box.Lo, hi: box.Hi, box: box, seen: make([]int, slots),
		owner: make([]int32, parts+1), caps: make([]float64, ranges), floor: make([]float64, ranges), least: make([]float64, ranges),
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
	n.ajar = up.ajar
}

// narrow leaves slot s no more than list.
func (n *node) narrow(s int32, list []int32, t *candidate.Table) {
	n.live[s] = list
	if len(list) > 0 {
		n.lo[s], n.hi[s] = t.Values[list[0]], t.Values[list[len(list)-1]]
	}
}

// filter leaves slot s the candidates that keep tells, and whether any went.
func (n *node) filter(s int32, t *candidate.Table, keep func(c int32) bool) bool {
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
