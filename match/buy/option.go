package buy

import (
	"context"
	"math"
)

// option is the fewest pieces of one or two values that fill a slot, and how far
// off that is, as a fraction; the zero option is none.
type option struct {
	of  [2]int // how many of the first and of the second value
	off float64
}

func (o option) pieces() int { return o.of[0] + o.of[1] }

// before tells whether an option comes before another.
func (o option) before(other option) bool {
	if o.pieces() == 0 || other.pieces() == 0 {
		return other.pieces() == 0 && o.pieces() > 0
	}
	return o.pieces() < other.pieces() || o.pieces() == other.pieces() && o.off < other.off
}

// options are those of one slot, by the indexes of the values.
type options struct {
	one []option
	two map[[2]int]option // ascending; only where neither value alone does with as few
}

// ones lists what one value does for a slot; where the context ends, less of it.
func (b *buyer) ones(ctx context.Context, p *place) *options {
	out := &options{one: make([]option, len(b.pieces)), two: map[[2]int]option{}}
	for i, piece := range b.pieces {
		x := block{piece.Value, piece.Bears}
		for m := 1; m <= p.need.AtMost && out.one[i].pieces() == 0 && ctx.Err() == nil; m++ {
			out.one[i] = p.best(x, x, [2]int{m, 0})
		}
	}
	return out
}

// rounding is more than values differ by that are computed in another order.
const rounding = 1e-12

// best is the option of so many pieces.
func (p *place) best(x, y block, of [2]int) option {
	off, n := math.Inf(1), of[0]+of[1]
	if !p.reaches(x, y, of) {
		return option{}
	}
	for _, z := range made(x, y, of[0], of[1]) {
		off = min(off, p.fit(z, p.need.AtMost-n, n == 1 || of[1] == 0 && n == 2))
	}
	if math.IsInf(off, 1) {
		return option{}
	}
	return option{of, off}
}

// reaches tells whether so many pieces and the parts beside them come to enough in
// series, and to little enough in parallel.
func (p *place) reaches(x, y block, of [2]int) bool {
	room := float64(p.need.AtMost - of[0] - of[1])
	a, b := float64(of[0]), float64(of[1])
	sum, inverse := a*p.inSeries(x)+b*p.inSeries(y), a/x.value+b/y.value
	if p.need.Keeps() {
		sum, inverse = sum+p.need.Keep, inverse+1/p.need.Keep
	}
	return sum+room*p.most >= p.lo && 1/(inverse+room*p.across) <= p.hi
}

// inSeries is the most of a block's value that counts in a network which takes the
// whole flow: no part dissipates more than it bears.
func (p *place) inSeries(x block) float64 {
	if x.bears < p.flow {
		return x.value * (x.bears / p.flow) * (x.bears / p.flow)
	}
	return x.value
}

// pairs lists what pieces of two values do where one value alone does not do it
// with as few.
func (b *buyer) pairs(ctx context.Context, p *place, out *options) {
	for m := 2; m <= p.need.AtMost; m++ {
		for i := range b.pieces {
			for k := i + 1; k < len(b.pieces) && ctx.Err() == nil; k++ {
				key := [2]int{i, k}
				if fewer(out.one[i], m) || fewer(out.one[k], m) || fewer(out.two[key], m) {
					continue
				}
				for na := 1; na < m; na++ {
					x, y := b.pieces[i], b.pieces[k]
					if o := p.best(block{x.Value, x.Bears}, block{y.Value, y.Bears}, [2]int{na, m - na}); o.before(out.two[key]) {
						out.two[key] = o
					}
				}
			}
		}
	}
}

// fewer tells whether an option does with at most so many pieces.
func fewer(o option, than int) bool { return o.pieces() > 0 && o.pieces() <= than }
