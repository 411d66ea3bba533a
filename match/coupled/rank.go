package coupled

// rank applies the goal's levels, which say how many errors may be above each: where that many are for sure, all others must keep to
// it. It returns false if there are too many.
func (d *dfs) rank(n *node) bool {
	for i := 0; i <= len(d.goal.top); i++ {
		level, above := d.goal.level(i), 0
		for _, r := range d.sc.ranges {
			if n.least[r]+n.floor[r] > level+slack {
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
			if n.least[r]+n.floor[r] <= level+slack && n.caps[r] > level {
				n.caps[r] = level
				if n.most[r]+n.floor[r] > level+slack {
					d.touchRange(r)
				}
			}
		}
	}
	return true
}
