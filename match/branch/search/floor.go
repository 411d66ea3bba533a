package search

import (
	"math"

	"shuntwright/match/branch/node"
)

// floorOf asks for the floor of range r.
func (w *cutter) floorOf(n *node.Node, r int32) float64 {
	w.Work++
	w.Tick()
	return node.FloorTrust * w.Limits.Floor(int(r), &n.Box)
}

// Mistrust raises the floors to what the candidates left at n say, and cuts the
// windows of attributes. It returns false where nothing is possible below n.
func (w *cutter) Mistrust(n *node.Node) bool {
	if !w.Floors {
		return true
	}
	for s := range n.Live {
		w.span(n, int32(s))
	}
	for _, r := range w.Case.Ranges {
		if !w.raiseFloor(n, r) {
			return false
		}
	}
	if !w.Rank(n) {
		return false
	}
	for _, r := range w.Case.Ranges {
		for i, s := range w.Links.Slots[r] {
			if n.Chosen[s] == node.Undecided && !w.cutAttributes(n, r, int32(i)) {
				return false
			}
		}
	}
	return true
}

// span looks at the attributes of slot s again where enough of its candidates
// have gone. Else the windows are those of more candidates, and hold all the
// same.
func (w *cutter) span(n *node.Node, s int32) {
	list := n.Live[s]
	if len(list) == 0 || len(list) == n.Seen[s] || len(list) > node.Long && 2*len(list) > n.Seen[s] && n.Seen[s] > 0 {
		return
	}
	n.Seen[s] = len(list)
	w.Tables[s].Attributes.Span(n.Box.Least[s], n.Box.Most[s], list)
}

// raiseFloor looks at the floor of range r.
func (w *cutter) raiseFloor(n *node.Node, r int32) bool {
	if f := w.floorOf(n, r); f > n.Floor[r] {
		n.Floor[r] = f
		if n.Least[r] > n.Level(r) {
			return false
		}
		if n.Most[r] > n.Level(r) {
			w.TouchRange(r)
		}
	}
	return true
}

// cutAttributes leaves out the candidates of slot s, the i-th of range r, with
// attributes in that end of their windows that takes the range beyond its level
// whatever the others are.
func (w *cutter) cutAttributes(n *node.Node, r, i int32) bool {
	s := w.Links.Slots[r][i]
	for k := range w.Attributes {
		for end := range 2 {
			at := &w.reach[r][2*(int(i)*w.Attributes+k)+end]
			width := n.Box.Most[s][k] - n.Box.Least[s][k]
			room := n.Level(r) - n.Least[r]
			if !(width > 0) || caution**at*width <= room {
				continue
			}
			rise, beyond := w.probe(n, r, s, k, end, width/notable, room)
			*at = rise / (width - width/notable)
			if beyond && !w.cutAttribute(n, r, s, k, end, room) {
				return false
			}
		}
	}
	return true
}

// probe returns by how much the floor of range r rises where only so wide an
// end of the window of an attribute is left, the lower (0) or the upper (1),
// and whether that is beyond the room.
func (w *cutter) probe(n *node.Node, r, s int32, k, end int, width, room float64) (rise float64, beyond bool) {
	least, most := n.Box.Least[s][k], n.Box.Most[s][k]
	if end == 0 {
		n.Box.Most[s][k] = least + width
	} else {
		n.Box.Least[s][k] = most - width
	}
	rise = w.floorOf(n, r) - n.Floor[r]
	n.Box.Least[s][k], n.Box.Most[s][k] = least, most
	return rise, rise > room
}

// cutAttribute cuts the end of a window of an attribute back as far as the
// floor allows. It returns false if nothing is left.
func (w *cutter) cutAttribute(n *node.Node, r, s int32, k, end int, room float64) bool {
	width := n.Box.Most[s][k] - n.Box.Least[s][k]
	from, to := width/notable, width // beyond the room, not known to be
	for range 6 {
		mid := (from + to) / 2
		if _, beyond := w.probe(n, r, s, k, end, mid, room); beyond {
			from = mid
		} else {
			to = mid
		}
	}
	t, least, most := &w.Tables[s].Attributes, n.Box.Least[s][k]+from, n.Box.Most[s][k]-from
	fewer := n.Filter(s, &w.Tables[s], func(c int32) bool {
		if end == 0 {
			return t.Of(c, k) > least
		}
		return t.Of(c, k) < most
	})
	if !w.Alive(n, s) {
		return false
	}
	if fewer {
		w.Touch(s)
	}
	n.Seen[s] = 0
	w.span(n, s)
	return true
}

// Doubtful returns the slot and the attribute whose window moves a floor most,
// if that is by more than moved, in percent of full scale, or -1. It goes by
// what Mistrust has seen.
func (w *cutter) Doubtful(n *node.Node, moved float64) (slot int32, attribute int) {
	slot = -1
	for _, r := range w.Case.Ranges {
		for i, s := range w.Links.Slots[r] {
			if n.Chosen[s] != node.Undecided || len(n.Live[s]) < 2 {
				continue
			}
			for k := range w.Attributes {
				at := 2 * (i*w.Attributes + k)
				width := n.Box.Most[s][k] - n.Box.Least[s][k]
				if rise := width * max(w.reach[r][at], w.reach[r][at+1]); width > 0 && rise > moved && !math.IsInf(rise, 1) {
					slot, attribute, moved = s, k, rise
				}
			}
		}
	}
	return slot, attribute
}
