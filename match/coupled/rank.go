package coupled

import "shuntwright/match/coupled/goal"

// rank applies the goal's levels, which say how many errors may be above each: where that many are for sure, all others must keep to
// it. It returns false if there are too many.
func (d *dfs) rank(n *node) bool {
	g := d.goal
	if g.Order != nil {
		var ok bool
		if g, ok = g.Ahead(d.costs(n)); !ok {
			return false
		}
	}
	for i := 0; i <= len(g.Top); i++ {
		level, above := g.Level(i), 0
		for _, r := range d.sc.Ranges {
			if n.least[r]+n.floor[r] > level+goal.Slack {
				above++
			}
		}
		if above > i {
			return false
		}
		if above < i {
			continue
		}
		for _, r := range d.sc.Ranges {
			if n.least[r]+n.floor[r] <= level+goal.Slack && n.caps[r] > level {
				n.caps[r] = level
				if n.most[r]+n.floor[r] > level+goal.Slack {
					d.touchRange(r)
				}
			}
		}
	}
	return true
}

// costs returns what the ranges count for at least, the largest first.
func (d *dfs) costs(n *node) []float64 {
	costs := d.sorted[:0]
	for _, r := range d.sc.Ranges {
		costs = append(costs, n.least[r]+n.floor[r])
	}
	for i := range costs {
		for j := i; j > 0 && costs[j-1] < costs[j]; j-- {
			costs[j-1], costs[j] = costs[j], costs[j-1]
		}
	}
	d.sorted = costs
	return costs
}
