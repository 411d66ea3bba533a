package branch

import "math"

// notable is the fraction of a window that must go for the ranges to be looked
// at again: windows of thousands would creep for ever. Where all of it must go
// there are four times as many nodes.
const notable = 8

// caution is by what a slope seen elsewhere is multiplied before it says that a
// slot need not be looked at. Without slopes there are 1.7 times as many
// evaluations.
const caution = 1.3

// shrink looks at the ranges that are stale and cuts the windows of their slots to
// what they allow, until none is. It returns false where nothing is possible
// below n.
func (w *cutter) shrink(n *node) bool {
	for w.stale > 0 && !w.ended {
		for r := range w.ranges {
			if w.take(r) && !w.shrinkBy(n, int32(r)) {
				return false
			}
		}
	}
	return true
}

// shrinkBy looks at one range: the two corners of the box at which its error is
// extreme bound it; then the end of each slot's window that moves the error
// away from the good corner is cut back to what keeps within the level. Without
// cutting most published instances take over 100 times as long.
func (w *cutter) shrinkBy(n *node, r int32) bool {
	level := n.level(r)
	bottom, top := w.corner(n, r, -1), w.corner(n, r, +1)
	n.least[r] = max(n.least[r], bottom, -top)
	n.most[r] = max(math.Abs(bottom), math.Abs(top))
	if !(bottom <= level) || !(top >= -level) || !(level >= 0) {
		return false
	}
	if top > level {
		w.corner(n, r, -1)
		w.trimAll(n, r, +1, bottom, top)
	}
	if bottom < -level {
		top = w.corner(n, r, +1)
		if !(top >= -level) {
			return false
		}
		w.trimAll(n, r, -1, top, bottom)
	}
	return true
}

// trimAll cuts the windows of all slots of range r where they take its error
// beyond its level on one side. error is that at the corner best for that side,
// at which x stands, opposite that at the other. A slot that by what is known
// of its slope cannot come near the level is passed over: that costs no proof,
// for only what the response itself says is ever cut.
func (w *cutter) trimAll(n *node, r int32, side int8, error, opposite float64) {
	slots, slopes, total := w.links.slots[r], w.slopes[r], 0.0
	for i, s := range slots {
		total += slopes[i] * (n.hi[s] - n.lo[s])
	}
	room := n.level(r) - float64(side)*error
	scale := caution * math.Abs(opposite-error) / total
	for i, s := range slots {
		if slopes[i]*(n.hi[s]-n.lo[s])*scale <= room {
			continue
		}
		w.trim(n, r, int32(i), side, error)
	}
}

// corner sets x to the corner of n's box where the error of r is least (side
// -1) or greatest (+1), and returns the error there.
func (w *cutter) corner(n *node, r int32, side int8) float64 {
	for i, s := range w.links.slots[r] {
		if w.links.rising[r][i] == side {
			w.values[s] = n.hi[s]
		} else {
			w.values[s] = n.lo[s]
		}
	}
	return w.eval(r)
}

// trim cuts the window of slot s, the i-th of range r, where it takes the error
// of r beyond its level on one side, all other slots standing at the corner
// that is best for that side; error is that of the corner. It leaves x at the
// corner.
func (w *cutter) trim(n *node, r, i int32, side int8, error float64) {
	s, rising := w.links.slots[r][i], w.links.rising[r][i]
	list := n.live[s]
	before := len(list)
	if before < 2 || n.lo[s] == n.hi[s] {
		return
	}
	t, level, sign := &w.tables[s], n.level(r), float64(side)
	upward := rising == side // the error grows towards the greatest values
	at := func(k int) int32 {
		if upward {
			return list[k]
		}
		return list[len(list)-1-k]
	}
	value := func(k int) float64 { return t.values[at(k)] }
	beyond := func(k int) float64 {
		w.values[s] = value(k)
		return sign*w.eval(r) - level
	}
	good, bad := 0, len(list)-1
	atGood, atBad := sign*error-level, beyond(bad)
	w.slopes[r][i] = (atBad - atGood) / (n.hi[s] - n.lo[s])
	if atBad > 0 {
		for step := 1; bad-good > 1 && !w.ended; step *= 2 {
			k := guess(value, good, bad, atGood, atBad, step)
			if e := beyond(k); e > 0 {
				bad, atBad = k, e
			} else {
				good, atGood = k, e
			}
		}
		if upward {
			list = list[:good+1]
		} else {
			list = list[len(list)-1-good:]
		}
		n.narrow(s, list, t)
		if (before-len(list))*notable > before {
			w.touch(s)
		}
	}
	w.values[s] = value(0)
}

// guess returns a place strictly between good and bad where a straight line
// through both crosses zero, but at most step from the nearer end in the course
// of time, so that no shape of curve makes it slow.
func guess(value func(int) float64, good, bad int, atGood, atBad float64, step int) int {
	if step > 8 || !(atBad > atGood) {
		return (good + bad) / 2
	}
	a, b := value(good), value(bad)
	v := a - atGood*(b-a)/(atBad-atGood)
	from, to := good+1, bad-1 // the last place not beyond v, looked for by halving
	for from < to {
		mid := (from + to + 1) / 2
		if (value(mid) <= v) == (a <= b) || value(mid) == v {
			from = mid
		} else {
			to = mid - 1
		}
	}
	return from
}
