package buy

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// choice is some different values, ascending, and what they do for the slots one
// by one, parts of the stock that two of them want not looked at.
type choice struct {
	values []int
	unmet  int // slots that must have pieces and that these do not fill
	pieces int // in the others that must
	short  int // slots outside that one or two pieces of these would not fill well
	off    float64
	set    set // of the pieces
	ample  set // with those of the slots outside
}

// wanted are the slots of a search for choices, with their options.
type wanted struct {
	must, may []*options // that the stock cannot fill; that are outside for other reasons
	near      float64    // how far off, as a fraction, is near enough for the others
}

// rate says what values do. The best that is known of each slot counts.
func (w *wanted) rate(values []int) choice {
	c := choice{values: values}
	for _, o := range w.must {
		best, of := o.best(values)
		if best.pieces() == 0 {
			c.unmet++
			continue
		}
		c.pieces += best.pieces()
		c.off += best.off
		c.set = best.add(c.set, of)
	}
	c.ample = slices.Clone(c.set)
	for _, o := range w.may {
		best, of := o.best(values)
		if best.pieces() == 0 || best.pieces() > 2 || best.off > w.near {
			c.short++
		}
		c.off += best.off
		c.ample = best.add(c.ample, of)
	}
	slices.Sort(c.set)
	slices.Sort(c.ample)
	return c
}

// add puts the pieces of an option, of these values, to a set.
func (o option) add(to set, of [2]int) set {
	for k, n := range o.of {
		to = append(to, slices.Repeat([]int{of[k]}, n)...)
	}
	return to
}

// best is the first option of a slot that takes only these values.
func (o *options) best(values []int) (best option, of [2]int) {
	for i, v := range values {
		if one := o.one[v]; one.before(best) {
			best, of = one, [2]int{v, v}
		}
		for _, w := range values[:i] {
			if two := o.two[[2]int{w, v}]; len(o.two) > 0 && two.before(best) {
				best, of = two, [2]int{w, v}
			}
		}
	}
	return best, of
}

// keptChoices is how many choices of a size are kept, and mostWhole how many
// values are combined by twos without leaving any out.
const (
	keptChoices = 500
	mostWhole   = 800
)

// choices lists the most promising choices of one value more than those given. The
// last ones leave no slot unmet.
func (w *wanted) choices(ctx context.Context, values int, from []choice, last bool) (out []choice) {
	kept := keptChoices
	if from == nil {
		from = []choice{{}}
	}
	if len(from[0].values) < 2 && values <= mostWhole {
		kept = values * values
	}
	for _, c := range from[:min(kept, len(from))] {
		for v := range values {
			if i, has := slices.BinarySearch(c.values, v); !has && (len(c.values) != 1 || i == 1) && ctx.Err() == nil {
				if next := w.rate(slices.Insert(slices.Clone(c.values), i, v)); next.unmet == 0 || !last {
					out = append(out, next)
				}
			}
		}
	}
	slices.SortFunc(out, byPieces)
	out = slices.CompactFunc(out, func(a, b choice) bool { return slices.Equal(a.values, b.values) })
	return out[:min(kept, len(out))]
}

// byPieces is the order in which sets of the pieces alone are asked about.
func byPieces(a, b choice) int {
	return cmp.Or(cmp.Compare(a.unmet, b.unmet), cmp.Compare(a.pieces, b.pieces), cmp.Compare(a.short, b.short),
		cmp.Compare(a.off, b.off), slices.Compare(a.values, b.values))
}

// byReach is the order in which values are asked about with any number of pieces.
func byReach(a, b choice) int {
	return cmp.Or(cmp.Compare(a.unmet, b.unmet), cmp.Compare(a.short, b.short), byPieces(a, b))
}

// wants makes the options of all slots that are not as they should be: of those
// that the stock cannot fill, all.
func (b *buyer) wants(ctx context.Context, v view, empty []bool) *wanted {
	w := &wanted{near: b.class / 100}
	var must []*place
	for i := range v.needs {
		p := v.place(i, b.shelf)
		switch {
		case empty[i]:
			must, w.must = append(must, p), append(w.must, b.ones(ctx, p))
		case b.outside(i):
			w.may = append(w.may, b.ones(ctx, p))
		}
	}
	for k, p := range must {
		one, stop := b.p.ShareOf(ctx, 1/float64(len(must)-k))
		if b.most > 1 {
			b.pairs(one, p, w.must[k])
		}
		stop()
	}
	return w
}

// outside tells whether a slot is open, or far off its target where a range that
// depends on it is outside, from the stock alone.
func (b *buyer) outside(slot int) bool {
	if !b.alone.Filled[slot] {
		return true
	}
	if off := math.Abs(b.alone.Networks[slot].Value()/b.p.Needs[slot].Target - 1); 100*off <= b.class {
		return false
	}
	for r, slots := range b.SlotsOf {
		if e := b.alone.Errors[r]; slices.Contains(slots, slot) && !(math.Abs(e) <= b.class) {
			return true
		}
	}
	return false
}
