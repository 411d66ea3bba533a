package local

import "shuntwright/match"

// shrink cuts the windows to what the order leaves each range, all others costing
// what they must, and the numbers of parts to what it leaves the slots. It returns
// false if nothing is left.
func (b *box) shrink(n *node) bool {
	v := n.views
	for again := true; again && b.least.Filled == b.best.Filled && b.least.Whole == b.best.Whole; {
		again = false
		if !b.lighten(v) {
			return false
		}
		for j, r := range b.ranges {
			most := b.order.Most(&b.least, b.tallies[j], &b.best) - n.floors[j] + match.Rounding
			for _, side := range []float64{-1, +1} {
				moved, ok := b.cut(r, v, side, most)
				if !ok {
					return false
				}
				again = again || moved
			}
		}
		if again && !b.bound(n) {
			return false
		}
	}
	return true
}

// lighten leaves each slot no more parts than it may have where all else is equal
// at best and fewer parts must decide.
func (b *box) lighten(v []view) bool {
	parts := b.least.Parts
	b.least.Parts = b.best.Parts
	equal := b.least.Compare(&b.best) == 0
	b.least.Parts = parts
	for k := range v {
		if equal && !v[k].allow(v[k].fewest+b.best.Parts-1-parts) {
			return false
		}
	}
	return true
}

// cut cuts the windows so that the error of range r, times side, can be so much at
// most, while the other slots stand as well as they can for that. It reports
// whether a notable part of a window went, and false if nothing is left.
func (b *box) cut(r int, v []view, side, most float64) (moved, ok bool) {
	if side*b.corner(r, v, int(side)) <= most {
		return false, true
	}
	if side*b.corner(r, v, -int(side)) > most {
		return false, false
	}
	for k, i := range b.slots {
		rising := b.rising[r][i]
		if rising == 0 || v[k].lo == v[k].hi {
			continue
		}
		upper := rising == int(side)
		went, ok := v[k].trim(upper, func(x float64) bool {
			b.Values[i] = x
			return side*b.ErrorOf(r) <= most
		})
		if !ok {
			return false, false
		}
		if b.Values[i] = v[k].lo; !upper {
			b.Values[i] = v[k].hi
		}
		moved = moved || went
	}
	return moved, true
}
