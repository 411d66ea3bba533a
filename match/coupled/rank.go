package coupled

import "math"

// rank applies the goal's levels, which say how many errors may be above each: where that many are for sure, all others must keep to
// it. It returns false if there are too many.
func (d *dfs) rank(n *node) bool {
	for i := 0; i <= len(d.goal.top); i++ {
		level, above := d.goal.level(i), 0
		for _, r := range d.sc.ranges {
			if n.least[r] > level+slack {
				above++
			}
		}
		if above > i {
			return false
		}
		if above < i {
			continue
		}
		for _, r := range d.sc.ranges {
			if n.least[r] <= level+slack && n.caps[r] > level {
				n.caps[r] = level
				if n.most[r] > level+slack {
					d.touchRange(r)
				}
			}
		}
	}
	return true
}

// doubtful returns a range of which it is open whether its error is above the level in question, or -1.
func (d *dfs) doubtful(n *node) (r int32, level float64) {
	for i := 1; i <= len(d.goal.top); i++ {
		level = d.goal.level(i)
		r, most := int32(-1), math.Inf(-1)
		for _, q := range d.sc.ranges {
			if n.least[q] <= level+slack && n.most[q] > level+slack && n.caps[q] > level+slack && n.most[q] > most {
				r, most = q, n.most[q]
			}
		}
		if r >= 0 {
			return r, level
		}
	}
	return -1, 0
}
