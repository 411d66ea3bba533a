package buy

import (
	"cmp"
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
)

// block is a network of which only its value and what it bears are of interest.
type block struct{ value, bears float64 }

// join joins blocks as network.Leaves does, but for rounding.
func join(op network.Op, x, y block) block {
	if op == network.Series {
		return block{x.value + y.value, min(x.bears, y.bears)}
	}
	v := 1 / (1/x.value + 1/y.value)
	return block{v, min(x.bears*x.value, y.bears*y.value) / v}
}

var ways = [2]network.Op{network.Series, network.Parallel}

// shelf holds the parts of the stock and their pairs, ascending by value.
type shelf struct{ ones, twos []shelved }

// shelved is a block of one part of the stock or of two, by their indexes; of one
// alone the second is the same.
type shelved struct {
	block
	a, b int
}

// mostPaired is how many parts pairs are made of; of a larger stock every position
// finds what it needs among single parts.
const mostPaired = 1000

func newShelf(parts []match.Part) *shelf {
	s := &shelf{}
	for i, p := range parts {
		one := block{p.Value, p.Bears}
		s.ones = append(s.ones, shelved{one, i, i})
		for k, q := range parts[:min(i, mostPaired)] {
			for _, op := range ways {
				s.twos = append(s.twos, shelved{join(op, one, block{q.Value, q.Bears}), i, k})
			}
		}
	}
	byValue := func(x, y shelved) int { return cmp.Compare(x.value, y.value) }
	slices.SortFunc(s.ones, byValue)
	slices.SortFunc(s.twos, byValue)
	return s
}

// place is a slot to be filled within a window.
type place struct {
	need   match.Need
	target float64 // the best value
	lo, hi float64
	shelf  *shelf
	flow   float64 // the least that a network must bear
	most   float64 // that one part of the stock can bring in series
	across float64 // that one part of it can bring in parallel, as a reciprocal
}

// mostTried is how many blocks beside the nearest are tried on either side where
// what is nearer does not bear enough: more than most drawers have.
const mostTried = 2000

// closeBy, a fraction of the target, is near enough not to look for better.
const closeBy = 1e-3

// off returns how far a block is off the target, as a fraction, +Inf where it lies
// outside of the window or does not bear what is asked.
func (p *place) off(x block) float64 {
	if !(x.value >= p.lo && x.value <= p.hi) || x.bears < p.need.Flow || x.bears*x.value < p.need.Drop {
		return math.Inf(1)
	}
	return math.Abs(x.value/p.target - 1)
}

// fit returns how far off the best network is that is found round a block with up
// to so many parts of the stock, +Inf where none is. What it finds is there; a
// network with parts inside the block it does not find, and with deep not set none
// that joins them one after the other.
func (p *place) fit(x block, room int, deep bool) float64 {
	best := math.Inf(1)
	for _, y := range p.withKept(x) {
		best = min(best, p.off(y))
		if room >= 1 && best > closeBy {
			best = min(best, p.beside(y, p.shelf.ones, -1))
		}
		if room >= 2 && best > closeBy {
			best = min(best, p.beside(y, p.shelf.twos, -1))
		}
		if room >= 2 && deep && best > closeBy {
			best = min(best, p.nested(y, room))
		}
	}
	return best
}

// withKept joins what stays in the slot.
func (p *place) withKept(x block) []block {
	if !p.need.Keeps() {
		return []block{x}
	}
	kept := block{p.need.Keep, p.need.KeepBears}
	return []block{join(network.Series, kept, x), join(network.Parallel, kept, x)}
}

// nested takes one part beside the block, and then others beside both.
func (p *place) nested(x block, room int) float64 {
	best := math.Inf(1)
	for _, one := range p.shelf.ones {
		for _, op := range ways {
			y := join(op, x, one.block)
			best = min(best, p.beside(y, p.shelf.ones, one.a))
			if room >= 3 && best > closeBy {
				best = min(best, p.beside(y, p.shelf.twos, one.a))
			}
			if best <= closeBy {
				return best
			}
		}
	}
	return best
}

// beside returns how far off the best of the list is in series or in parallel,
// without one part.
func (p *place) beside(x block, list []shelved, without int) float64 {
	best := math.Inf(1)
	for _, op := range ways {
		want := p.target - x.value
		if op == network.Parallel {
			if want = 1 / (1/p.target - 1/x.value); want <= 0 {
				want = math.Inf(1) // as little beside it as can be
			}
		}
		k, _ := slices.BinarySearchFunc(list, want, func(y shelved, v float64) int { return cmp.Compare(y.value, v) })
		for _, way := range [2]int{1, -1} {
			for i, tried := k+(way-1)/2, 0; i >= 0 && i < len(list) && tried < mostTried; i, tried = i+way, tried+1 {
				y := join(op, x, list[i].block)
				if y.value < p.lo || y.value > p.hi {
					break
				}
				if off := p.off(y); off < math.Inf(1) && list[i].a != without && list[i].b != without {
					best = min(best, off)
					break
				}
			}
		}
	}
	return best
}

// made returns the blocks that so many pieces of one value and of another make.
func made(a, b block, na, nb int) []block {
	if na+nb == 1 {
		if na == 1 {
			return []block{a}
		}
		return []block{b}
	}
	var out []block
	for i := range na + 1 {
		for j := range nb + 1 {
			if n := i + j; n == 0 || 2*n > na+nb {
				continue
			}
			for _, x := range made(a, b, i, j) {
				for _, y := range made(a, b, na-i, nb-j) {
					out = append(out, join(network.Series, x, y), join(network.Parallel, x, y))
				}
			}
		}
	}
	return out
}
