package coupled

// rank applies the goal's levels, which say how many errors may be above each: where that many are for sure, all others must keep to
// it. It returns false if there are too many.
func (d *dfs) rank(n *node) bool {
	g := d.goal
	if g.order != nil {
		k := d.ahead(n)
		if k < 0 || k == len(g.top) && g.order.equals >= fewEquals {
			return false
		}
		if k < len(g.top) { // either the k-th error is smaller than the least, and so are those behind it, or it is equal
			g.rest = d.better(g.order.least[k])
			if k+1 < len(g.top) {
				g.rest = max(g.rest, g.top[k+1])
			}
			g.top = g.top[:k+1]
		}
	}
	for i := 0; i <= len(g.top); i++ {
		level, above := g.level(i), 0
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
