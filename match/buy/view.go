package buy

import "shuntwright/match"

// view is what is asked of the slots: their needs, and the windows of values that
// are looked at.
type view struct {
	needs  []match.Need
	lo, hi []float64
}

// upTo is the view with no more parts a slot.
func (v view) upTo(parts int) view {
	out := view{nil, v.lo, v.hi}
	for _, n := range v.needs {
		n.AtMost = min(n.AtMost, parts)
		out.needs = append(out.needs, n)
	}
	return out
}

// near is the view with windows of no more than some percent about the targets, in
// which slots that share ranges mostly need not make up for one another, and whether
// that is any narrower.
func (v view) near(percent float64) (out view, narrower bool) {
	out.needs = v.needs
	for i, n := range v.needs {
		lo, hi := max(v.lo[i], n.Target*(1-percent/100)), min(v.hi[i], n.Target*(1+percent/100))
		if lo > hi {
			lo, hi = v.lo[i], v.hi[i]
		}
		narrower = narrower || hi-lo < 0.9*(v.hi[i]-v.lo[i])
		out.lo, out.hi = append(out.lo, lo), append(out.hi, hi)
	}
	return out, narrower
}

// flow is the least that a network of a slot must bear, whatever its value.
func (v view) flow(slot int) (flow float64) {
	n := v.needs[slot]
	for _, f := range [2]float64{n.Flow, n.Drop / v.hi[slot]} {
		if f > flow {
			flow = f
		}
	}
	return flow
}

// place is a slot with its window.
func (v view) place(slot int, s *shelf) *place {
	p := &place{need: v.needs[slot], lo: v.lo[slot] * (1 - rounding), hi: v.hi[slot] * (1 + rounding), shelf: s}
	p.target = min(max(p.need.Target, p.lo), p.hi)
	p.flow = v.flow(slot)
	for _, one := range s.ones {
		p.most, p.across = max(p.most, p.inSeries(one.block)), max(p.across, 1/one.value)
	}
	return p
}
