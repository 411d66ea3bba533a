package search

import (
	"shuntwright/match"
	"shuntwright/match/branch/node"
)

// Rank applies the goal's levels, which say how many errors may be above each:
// where that many are for sure, all others must keep to it. It returns false if
// there are too many.
func (w *cutter) Rank(n *node.Node) bool {
	g := w.Goal
	if g.Bar != nil {
		return w.clears(n)
	}
	if g.Order != nil {
		var ok bool
		if g, ok = g.Ahead(w.costs(n)); !ok {
			return false
		}
	}
	for i := 0; i <= len(g.Top); i++ {
		level, above := g.Level(i), 0
		for _, r := range w.Case.Ranges {
			if n.Least[r]+n.Floor[r] > level+match.Rounding {
				above++
			}
		}
		if above > i {
			return false
		}
		if above < i {
			continue
		}
		for _, r := range w.Case.Ranges {
			if n.Least[r]+n.Floor[r] <= level+match.Rounding && n.Caps[r] > level {
				n.Caps[r] = level
				if n.Most[r]+n.Floor[r] > level+match.Rounding {
					w.TouchRange(r)
				}
			}
		}
	}
	return true
}

// costs returns what the ranges count for at least, the largest first.
func (w *cutter) costs(n *node.Node) []float64 {
	costs := w.sorted[:0]
	for _, r := range w.Case.Ranges {
		costs = append(costs, n.Least[r]+n.Floor[r])
	}
	for i := range costs {
		for j := i; j > 0 && costs[j-1] < costs[j]; j-- {
			costs[j-1], costs[j] = costs[j], costs[j-1]
		}
	}
	w.sorted = costs
	return costs
}
