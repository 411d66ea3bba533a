package search

import (
	"shuntwright/match"
	"shuntwright/match/branch/node"
)

// clears draws the conclusions from the goal's bar: what each range may cost
// where all others cost what they must, and how many parts all slots may have
// together. It returns false if nothing comes before the bar.
func (w *cutter) clears(n *node.Node) bool {
	bar, k := w.Goal.Bar, &w.key
	bar.Start(k, w.Case)
	w.tallies = w.tallies[:0]
	for _, r := range w.Case.Ranges {
		t := bar.Order.Tally(max(0, n.Least[r]+n.Floor[r]-match.Rounding))
		w.tallies = append(w.tallies, t)
		k.Add(t, 0)
	}
	least := k.Parts + w.fewest
	if k.Parts = bar.Key.Parts; k.Compare(&bar.Key) == 0 {
		n.Parts = min(n.Parts, bar.Key.Parts-1-bar.Others.Parts)
	}
	k.Parts = least
	if k.Compare(&bar.Key) >= 0 {
		return false
	}
	if k.Filled > bar.Key.Filled || k.Whole > bar.Key.Whole {
		return true
	}
	for i, r := range w.Case.Ranges {
		if most := bar.Order.Most(k, w.tallies[i], &bar.Key); most < n.Caps[r] {
			if n.Caps[r] = most; n.Most[r]+n.Floor[r] > most+match.Rounding {
				w.TouchRange(r)
			}
		}
	}
	return true
}

// overBar makes a plan the new bar if it comes before the old one.
func (d *Search) overBar(p *node.Plan) {
	bar, k := d.frame.Goal.Bar, &d.windows.key
	if bar.KeyOf(k, p, d.frame.Case); k.Compare(&bar.Key) < 0 {
		bar.Key.Copy(k)
		d.found = true
		d.Improve(p)
	}
}
