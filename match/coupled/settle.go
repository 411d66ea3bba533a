package coupled

import "math"

// notable is the fraction of a window that must go for the ranges to be looked at again: windows of thousands would creep for ever.
const notable = 8

// caution is how much more than a slope tells a slot is taken to move an error.
const caution = 1.3

// settle draws every conclusion at n: windows, levels and parts, until none follows any more. It returns false where nothing is
// possible below n.
func (d *dfs) settle(n *node) bool {
	for !d.Ended {
		if !d.shrink(n) || !d.rank(n) {
			return false
		}
		if d.stale > 0 {
			continue
		}
		if !d.mistrust(n) {
			return false
		}
		if d.stale > 0 {
			continue
		}
		changed, ok := d.share(n)
		if !ok {
			return false
		}
		if !changed {
			return true
		}
	}
	return false
}

// touch notes that something has changed for the ranges of slot s.
func (d *dfs) touch(s int32) {
	for _, r := range d.Links.Ranges[s] {
		d.touchRange(r)
	}
}

func (d *dfs) touchRange(r int32) {
	if d.sc.Whole[r] && !d.dirty[r] {
		d.dirty[r] = true
		d.stale++
	}
}

// shrink cuts the windows of the slots to what the ranges allow.
func (d *dfs) shrink(n *node) bool {
	for d.stale > 0 && !d.Ended {
		for r := range d.dirty {
			if !d.dirty[r] {
				continue
			}
			d.dirty[r] = false
			d.stale--
			if !d.shrinkBy(n, int32(r)) {
				return false
			}
		}
	}
	return true
}

// shrinkBy looks at one range: the two corners of the box at which its error is extreme bound it; then the end of each slot's window
// that moves the error away from the good corner is cut back to what keeps within the level.
func (d *dfs) shrinkBy(n *node, r int32) bool {
	level := n.level(r)
	bottom, top := d.corner(n, r, -1), d.corner(n, r, +1)
	n.least[r] = max(n.least[r], bottom, -top)
	n.most[r] = max(math.Abs(bottom), math.Abs(top))
	if !(bottom <= level) || !(top >= -level) || !(level >= 0) {
		return false
	}
	if top > level {
		d.corner(n, r, -1)
		d.trimAll(n, r, +1, bottom, top)
	}
	if bottom < -level {
		top = d.corner(n, r, +1)
		if !(top >= -level) {
			return false
		}
		d.trimAll(n, r, -1, top, bottom)
	}
	return true
}

// trimAll cuts the windows of all slots of range r where they take its error beyond its level on one side. error is that at the corner
// best for that side, at which x stands, opposite that at the other. A slot that by what is known of its slope cannot come near the level is
// passed over: that costs no proof, for only what the response itself says is ever cut.
func (d *dfs) trimAll(n *node, r int32, side int8, error, opposite float64) {
	slots, slopes, total := d.Links.Slots[r], d.slopes[r], 0.0
	for i, s := range slots {
		total += slopes[i] * (n.hi[s] - n.lo[s])
	}
	room := n.level(r) - float64(side)*error
	scale := caution * math.Abs(opposite-error) / total
	for i, s := range slots {
		if slopes[i]*(n.hi[s]-n.lo[s])*scale <= room {
			continue
		}
		d.trim(n, r, int32(i), side, error)
	}
}

// corner sets x to the corner of n's box where the error of r is least (side -1) or greatest (+1), and returns the error there.
func (d *dfs) corner(n *node, r int32, side int8) float64 {
	for i, s := range d.Links.Slots[r] {
		if d.Links.Rising[r][i] == side {
			d.Values[s] = n.hi[s]
		} else {
			d.Values[s] = n.lo[s]
		}
	}
	return d.Eval(r)
}

// trim cuts the window of slot s, the i-th of range r, where it takes the error of r beyond its level on one side, all other slots standing at the corner that
// is best for that side; error is that of the corner. It leaves x at the corner.
func (d *dfs) trim(n *node, r, i int32, side int8, error float64) {
	s, rising := d.Links.Slots[r][i], d.Links.Rising[r][i]
	list := n.live[s]
	before := len(list)
	if before < 2 || n.lo[s] == n.hi[s] {
		return
	}
	t, level, sign := &d.Tables[s], n.level(r), float64(side)
	upward := rising == side // the error grows towards the greatest values
	at := func(k int) int32 {
		if upward {
			return list[k]
		}
		return list[len(list)-1-k]
	}
	value := func(k int) float64 { return t.Values[at(k)] }
	beyond := func(k int) float64 {
		d.Values[s] = value(k)
		return sign*d.Eval(r) - level
	}
	good, bad := 0, len(list)-1
	atGood, atBad := sign*error-level, beyond(bad)
	d.slopes[r][i] = (atBad - atGood) / (n.hi[s] - n.lo[s])
	if atBad > 0 {
		for step := 1; bad-good > 1 && !d.Ended; step *= 2 {
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
			d.touch(s)
		}
	}
	d.Values[s] = value(0)
}

// guess returns a place strictly between good and bad where a straight line through both crosses zero, but at most step from the
// nearer end in the course of time, so that no shape of curve makes it slow.
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
