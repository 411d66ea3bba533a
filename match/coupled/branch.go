package coupled

import (
	"math"
	"slices"

	"shuntwright/match/coupled/candidate"
)

// few is how many candidates are tried one by one. Where every slot has more, a window is cut in two instead: both halves bound the errors
// better and move the windows of the other slots.
const few = 8

// scarcest returns the undecided slot with the fewest candidates left, or -1.
func (d *dfs) scarcest(n *node) int32 {
	slot, fewest := int32(-1), math.MaxInt
	for s, c := range n.chosen {
		if c == candidate.Undecided && len(n.live[s]) < fewest {
			slot, fewest = int32(s), len(n.live[s])
		}
	}
	return slot
}

// each tries the candidates of slot s one by one.
func (d *dfs) each(depth int, s int32) {
	n := d.at(depth)
	n.order = d.Tables[s].Outward(n.order[:0], n.live[s])
	if !d.bound(n, s) {
		n.order = append(n.order, candidate.Open)
	}
	for _, c := range n.order {
		if d.halt() {
			return
		}
		d.visit(depth+1, func(n *node) { d.decide(n, s, c) })
	}
}

// decide fills slot s with c, or leaves it open.
func (d *dfs) decide(n *node, s, c int32) {
	n.chosen[s] = c
	if c == candidate.Open {
		n.ajar--
		return
	}
	list := n.live[s]
	i, _ := slices.BinarySearch(list, c)
	n.narrow(s, list[i:i+1], &d.Tables[s])
	for _, p := range d.Tables[s].Of(c) {
		n.owner[p] = s
	}
	d.touch(s)
}

// halve cuts the window of slot s in two and looks first at the half in whose middle the errors are smaller.
func (d *dfs) halve(depth int, s int32) {
	n := d.at(depth)
	t, list := &d.Tables[s], n.live[s]
	i := t.Above(list, n.lo[s]+(n.hi[s]-n.lo[s])/2)
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
			d.touch(s)
		})
	}
}

// centre sets x to the middle of n's box.
func (d *dfs) centre(n *node) {
	for s := range n.lo {
		if len(n.live[s]) > 0 {
			d.Values[s] = n.lo[s] + (n.hi[s]-n.lo[s])/2
		}
	}
}

// middling returns the worst error with slot s in the middle of the list and all others in the middle of their windows.
func (d *dfs) middling(n *node, s int32, list []int32) float64 {
	d.centre(n)
	t := &d.Tables[s]
	d.Values[s] = (t.Values[list[0]] + t.Values[list[len(list)-1]]) / 2
	d.EvalAll()
	worst := 0.0
	for _, r := range d.sc.Ranges {
		worst = max(worst, math.Abs(d.Errors[r]))
	}
	return worst
}

// widest returns the undecided slot whose window moves an error most, all others standing in the middle of theirs, or -1 if none does,
// and by how much.
func (d *dfs) widest(n *node) (int32, float64) {
	d.centre(n)
	slot, most := int32(-1), 0.0
	for s := range n.lo {
		if n.chosen[s] != candidate.Undecided {
			continue
		}
		if moved := d.moved(n, int32(s)); moved > most {
			slot, most = int32(s), moved
		}
	}
	return slot, most
}

// moved returns by how much the window of slot s moves an error.
func (d *dfs) moved(n *node, s int32) float64 {
	middle, most := d.Values[s], 0.0
	if len(d.Links.Ranges[s]) > 0 {
		d.Values[s] = n.lo[s]
		d.EvalAll()
		copy(d.side, d.Errors)
		d.Values[s] = n.hi[s]
		d.EvalAll()
		d.Values[s] = middle
	}
	for _, r := range d.Links.Ranges[s] {
		if d.sc.Whole[r] {
			most = max(most, math.Abs(d.Errors[r]-d.side[r]))
		}
	}
	return most
}
