package branch

import "shuntwright/match"

// rank applies the goal's levels, which say how many errors may be above each:
// where that many are for sure, all others must keep to it. It returns false if
// there are too many.
func (w *cutter) rank(n *node) bool {
	g := w.goal
	if g.bar != nil {
		return w.clears(n)
	}
	if g.order != nil {
		var ok bool
		if g, ok = g.ahead(w.costs(n)); !ok {
			return false
		}
	}
	for i := 0; i <= len(g.top); i++ {
		level, above := g.level(i), 0
		for _, r := range w.scenario.ranges {
			if n.least[r]+n.floor[r] > level+match.Rounding {
				above++
			}
		}
		if above > i {
			return false
		}
		if above < i {
			continue
		}
		for _, r := range w.scenario.ranges {
			if n.least[r]+n.floor[r] <= level+match.Rounding && n.caps[r] > level {
				n.caps[r] = level
				if n.most[r]+n.floor[r] > level+match.Rounding {
					w.touchRange(r)
				}
			}
		}
	}
	return true
}

// costs returns what the ranges count for at least, the largest first.
func (w *cutter) costs(n *node) []float64 {
	costs := w.sorted[:0]
	for _, r := range w.scenario.ranges {
		costs = append(costs, n.least[r]+n.floor[r])
	}
	for i := range costs {
		for j := i; j > 0 && costs[j-1] < costs[j]; j-- {
			costs[j-1], costs[j] = costs[j], costs[j-1]
		}
	}
	w.sorted = costs
	return costs
}
