package search

import (
	"math"
	"slices"

	"shuntwright/match/branch/node"
)

// few is how many candidates are tried one by one. Where every slot has more, a
// window is cut in two instead: both halves bound the errors better and move
// the windows of the other slots.
const few = 8

// rather is how many times as much as a window of values the window of an
// attribute must matter to be halved in its place.
const rather = 4

// scarcest returns the undecided slot with the fewest candidates left, or -1.
func (d *Search) scarcest(n *node.Node) int32 {
	slot, fewest := int32(-1), math.MaxInt
	for s, c := range n.Chosen {
		if c == node.Undecided && len(n.Live[s]) < fewest {
			slot, fewest = int32(s), len(n.Live[s])
		}
	}
	return slot
}

// each tries the candidates of slot s one by one.
func (d *Search) each(depth int, s int32) {
	n := d.at(depth)
	n.Order = d.Tables[s].Outward(n.Order[:0], n.Live[s])
	if !d.frame.Bound(n, s) {
		n.Order = append(n.Order, node.Open)
	}
	for _, c := range n.Order {
		if d.halt() {
			return
		}
		d.visit(depth+1, func(n *node.Node) { d.decide(n, s, c) })
	}
}

// decide fills slot s with c, or leaves it open.
func (d *Search) decide(n *node.Node, s, c int32) {
	n.Chosen[s] = c
	if c == node.Open {
		n.Ajar--
		return
	}
	list := n.Live[s]
	i, _ := slices.BinarySearch(list, c)
	n.Narrow(s, list[i:i+1], &d.Tables[s])
	for _, p := range d.Tables[s].Of(c) {
		n.Owner[p] = s
	}
	d.frame.Touch(s)
}

// halve cuts the window of slot s in two and looks first at the half in whose
// middle the errors are smaller.
func (d *Search) halve(depth int, s int32) {
	n := d.at(depth)
	t, list := &d.Tables[s], n.Live[s]
	i := t.Above(list, n.Lo[s]+(n.Hi[s]-n.Lo[s])/2)
	if i == 0 || i == len(list) {
		i = len(list) / 2
	}
	halves := [2][]int32{list[:i], list[i:]}
	if d.middling(n, s, halves[1]) < d.middling(n, s, halves[0]) {
		halves[0], halves[1] = halves[1], halves[0]
	}
	for _, half := range halves {
		if d.halt() {
			return
		}
		d.visit(depth+1, func(n *node.Node) {
			n.Narrow(s, half, t)
			d.frame.Touch(s)
		})
	}
}

// centre sets x to the middle of n's box.
func (d *Search) centre(n *node.Node) {
	for s := range n.Lo {
		if len(n.Live[s]) > 0 {
			d.Values[s] = n.Lo[s] + (n.Hi[s]-n.Lo[s])/2
		}
	}
}

// middling returns the worst error with slot s in the middle of the list and
// all others in the middle of their windows.
func (d *Search) middling(n *node.Node, s int32, list []int32) float64 {
	d.centre(n)
	t := &d.Tables[s]
	d.Values[s] = (t.Values[list[0]] + t.Values[list[len(list)-1]]) / 2
	d.EvalAll()
	worst := 0.0
	for _, r := range d.frame.Case.Ranges {
		worst = max(worst, math.Abs(d.Errors[r]))
	}
	return worst
}

// widest returns the undecided slot whose window moves an error most, all
// others standing in the middle of theirs, or -1 if none does, and by how much.
func (d *Search) widest(n *node.Node) (int32, float64) {
	d.centre(n)
	slot, most := int32(-1), 0.0
	for s := range n.Lo {
		if n.Chosen[s] != node.Undecided {
			continue
		}
		if moved := d.moved(n, int32(s)); moved > most {
			slot, most = int32(s), moved
		}
	}
	return slot, most
}

// moved returns by how much the window of slot s moves an error.
func (d *Search) moved(n *node.Node, s int32) float64 {
	middle, most := d.Values[s], 0.0
	if len(d.Links.Ranges[s]) > 0 {
		d.Values[s] = n.Lo[s]
		d.EvalAll()
		copy(d.side, d.Errors)
		d.Values[s] = n.Hi[s]
		d.EvalAll()
		d.Values[s] = middle
	}
	for _, r := range d.Links.Ranges[s] {
		if d.frame.Case.Whole[r] {
			most = max(most, math.Abs(d.Errors[r]-d.side[r]))
		}
	}
	return most
}

// part cuts the window of an attribute of slot s in two and looks first at the
// lower half.
func (d *Search) part(depth int, s int32, k int) {
	n := d.at(depth)
	t, half := &d.Tables[s], n.Box.Least[s][k]/2+n.Box.Most[s][k]/2
	if half >= n.Box.Most[s][k] {
		half = n.Box.Least[s][k]
	}
	for lower := range 2 {
		if d.halt() {
			return
		}
		d.visit(depth+1, func(n *node.Node) {
			n.Filter(s, t, func(c int32) bool { return (t.Attributes.Of(c, k) <= half) == (lower == 0) })
			n.Seen[s] = 0
			d.frame.Touch(s)
		})
	}
}
