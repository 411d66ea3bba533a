package branch

import "shuntwright/match"

// Bar is what plans must come before in an order with a resolution.
type Bar struct {
	Order match.Order
	Key   match.Key // of the plan to come before
}

// start makes k the key of a plan that fills and makes whole what a scenario
// says, with no ranges counted as yet.
func (b *Bar) start(k *match.Key, c *scenario) {
	k.Reset()
	k.Filled += len(c.must) - c.open
}

// keyOf puts the key of a plan into k.
func (b *Bar) keyOf(k *match.Key, p *measured, c *scenario) {
	b.start(k, c)
	k.Parts += p.parts
	for _, cost := range p.costs {
		k.Add(b.Order.Tally(cost), cost)
	}
}

// clears draws the conclusions from the goal's bar: what each range may cost
// where all others cost what they must, and how many parts all slots may have
// together; without that one published instance takes 18 times as long. It
// returns false if nothing comes before the bar.
func (w *cutter) clears(n *node) bool {
	bar, k := w.goal.bar, &w.key
	bar.start(k, w.scenario)
	w.tallies = w.tallies[:0]
	for _, r := range w.scenario.ranges {
		t := bar.Order.Tally(max(0, n.least[r]+n.floor[r]-match.Rounding))
		w.tallies = append(w.tallies, t)
		k.Add(t, 0)
	}
	least := k.Parts + w.fewest
	if k.Parts = bar.Key.Parts; k.Compare(&bar.Key) == 0 {
		n.parts = min(n.parts, bar.Key.Parts-1)
	}
	k.Parts = least
	if k.Compare(&bar.Key) >= 0 {
		return false
	}
	if k.Filled > bar.Key.Filled || k.Whole > bar.Key.Whole {
		return true
	}
	for i, r := range w.scenario.ranges {
		if most := bar.Order.Most(k, w.tallies[i], &bar.Key); most < n.caps[r] {
			if n.caps[r] = most; n.most[r]+n.floor[r] > most+match.Rounding {
				w.touchRange(r)
			}
		}
	}
	return true
}

// overBar makes a plan the new bar if it comes before the old one.
func (d *search) overBar(p *measured) {
	bar, k := d.frame.goal.bar, &d.windows.key
	if bar.keyOf(k, p, d.frame.scenario); k.Compare(&bar.Key) < 0 {
		bar.Key.Copy(k)
		d.found = true
		d.improve(p)
	}
}
