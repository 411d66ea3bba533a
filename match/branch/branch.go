package branch

import (
	"math"
	"slices"
)

// few is how many candidates are tried one by one. Where every slot has more, a
// window is cut in two instead: both halves bound the errors better and move
// the windows of the other slots. With 2 it takes twice as long, with 32 five
// times.
const few = 8

// scarcest returns the undecided slot with the fewest candidates left, or -1.
func (d *search) scarcest(n *node) int32 {
	slot, fewest := int32(-1), math.MaxInt
	for s, c := range n.chosen {
		if c == undecided && len(n.live[s]) < fewest {
			slot, fewest = int32(s), len(n.live[s])
		}
	}
	return slot
}

// each tries the candidates of slot s one by one.
func (d *search) each(depth int, s int32) {
	n := d.at(depth)
	n.order = d.tables[s].outward(n.order[:0], n.live[s])
	if !d.frame.bound(n, s) {
		n.order = append(n.order, open)
	}
	for _, c := range n.order {
		if d.halt() {
			return
		}
		d.visit(depth+1, func(n *node) { d.decide(n, s, c) })
	}
}

// decide fills slot s with c, or leaves it open.
func (d *search) decide(n *node, s, c int32) {
	n.chosen[s] = c
	if c == open {
		n.ajar--
		return
	}
	list := n.live[s]
	i, _ := slices.BinarySearch(list, c)
	n.narrow(s, list[i:i+1], &d.tables[s])
	for _, p := range d.tables[s].of(c) {
		n.owner[p] = s
	}
	d.frame.touch(s)
}

// halve cuts the window of slot s in two and looks first at the half in whose
// middle the errors are smaller: 1.6 times faster, 30 times on one drawer.
func (d *search) halve(depth int, s int32) {
	n := d.at(depth)
	t, list := &d.tables[s], n.live[s]
	i := t.above(list, n.lo[s]+(n.hi[s]-n.lo[s])/2)
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
		d.visit(depth+1, func(n *node) {
			n.narrow(s, half, t)
			d.frame.touch(s)
		})
	}
}

// centre sets x to the middle of n's box.
func (d *search) centre(n *node) {
	for s := range n.lo {
		if len(n.live[s]) > 0 {
			d.values[s] = n.lo[s] + (n.hi[s]-n.lo[s])/2
		}
	}
}

// middling returns the worst error with slot s in the middle of the list and
// all others in the middle of their windows.
func (d *search) middling(n *node, s int32, list []int32) float64 {
	d.centre(n)
	t := &d.tables[s]
	d.values[s] = (t.values[list[0]] + t.values[list[len(list)-1]]) / 2
	d.evalAll()
	worst := 0.0
	for _, r := range d.frame.scenario.ranges {
		worst = max(worst, math.Abs(d.errors[r]))
	}
	return worst
}

// widest returns the undecided slot whose window moves an error most, all
// others standing in the middle of theirs, or -1 if none does. Where the slot with
// most candidates is halved in its place, a multimeter of 200 parts takes 7 times
// as long.
func (d *search) widest(n *node) int32 {
	d.centre(n)
	slot, most := int32(-1), 0.0
	for s := range n.lo {
		if n.chosen[s] != undecided {
			continue
		}
		if moved := d.moved(n, int32(s)); moved > most {
			slot, most = int32(s), moved
		}
	}
	return slot
}

// moved returns by how much the window of slot s moves an error.
func (d *search) moved(n *node, s int32) float64 {
	middle, most := d.values[s], 0.0
	if len(d.links.ranges[s]) > 0 {
		d.values[s] = n.lo[s]
		d.evalAll()
		copy(d.side, d.errors)
		d.values[s] = n.hi[s]
		d.evalAll()
		d.values[s] = middle
	}
	for _, r := range d.links.ranges[s] {
		if d.frame.scenario.whole[r] {
			most = max(most, math.Abs(d.errors[r]-d.side[r]))
		}
	}
	return most
}
