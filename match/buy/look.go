package buy

import (
	"cmp"
	"context"
	"slices"

	"shuntwright/match"
)

// How many choices of values of each size are asked about, with pieces for single
// slots and with plenty; and the shares of the time left that one question may take,
// the list of what fills a slot, and that of choices.
const (
	askedExactly = 100
	askedAtOnce  = 300
	forOne       = 0.1
	forOptions   = 0.3
)

// look looks for a set that does, better than one that is known, if any is, with
// slots near their targets first.
func (b *buyer) look(ctx context.Context, v view, best *candidate) (*candidate, error) {
	if near, narrower := v.near(b.class); narrower {
		share, stop := b.p.ShareOf(ctx, forFewer)
		defer stop()
		var err error
		if best, err = b.lookIn(share, near, quickPasses, best); err != nil {
			return best, err
		}
	}
	return b.lookIn(ctx, v, len(passes), best)
}

// lookIn looks for a set with so many passes.
func (b *buyer) lookIn(ctx context.Context, v view, most int, best *candidate) (*candidate, error) {
	empty, err := b.cannotFill(ctx, v)
	if err != nil {
		return best, err
	}
	share, stop := b.p.ShareOf(ctx, forOptions)
	w := b.wants(share, v, empty)
	stop()
	share, stop = b.p.ShareOf(ctx, forOptions)
	sizes, whole := b.sizes(share, w)
	stop()
	whole = whole && w.whole && !slices.ContainsFunc(v.needs, func(n match.Need) bool { return n.AtMost > listedWhole || n.Keeps() })
	for _, pass := range passes[:most] {
		part, stop := b.p.ShareOf(ctx, pass.share)
		a := asking{part, v.needs, pass.quick, forOne}
		b.refuted = whole && pass.refutes
		for _, all := range sizes {
			if best, err = pass.over(b, a, all, best); err != nil {
				break
			}
		}
		if stop(); best != nil || err != nil || ctx.Err() != nil {
			break
		}
	}
	return best, err
}

// passes are the ways in which choices of values are asked about, one after the
// other until a set is found: sets of the pieces that slots must have, one by one;
// of those that the others outside would have too; plenty of each value. First only
// so far as a good plan is found at once.
var passes = []struct {
	quick   bool
	share   float64 // of the time left
	refutes bool
	over    func(b *buyer, a asking, all []choice, best *candidate) (*candidate, error)
}{
	{true, 0.4, false, (*buyer).exactly},
	{true, 0.5, false, (*buyer).amply},
	{true, 0.4, true, (*buyer).plenty},
	{false, 0.4, false, (*buyer).exactly},
	{false, 1, true, (*buyer).plenty},
}

// quickPasses are the first of them.
const quickPasses = 3

// listedWhole is up to how many parts a position the options are all that there
// are.
const listedWhole = 2

// sizes are the choices of values by how many they are, and whether the last are
// all that do for every slot by itself.
func (b *buyer) sizes(ctx context.Context, w *wanted) (sizes [][]choice, whole bool) {
	var from []choice
	for n := 1; n <= min(b.most, len(b.pieces)); n++ {
		all, complete := w.choices(ctx, len(b.pieces), from, n == b.most)
		if whole = complete; len(all) == 0 {
			break
		}
		sizes, from = append(sizes, all), all
	}
	return sizes, whole
}

// cannotFill tells which slots the stock alone cannot fill within their windows.
func (b *buyer) cannotFill(ctx context.Context, v view) ([]bool, error) {
	out := make([]bool, len(v.needs))
	for i := range out {
		got, err := b.stock.Pick(ctx, v.query(i))
		if err != nil {
			return nil, err
		}
		out[i] = got.Proven && len(got.Choices) == 0
	}
	return out, nil
}

// exactly asks about the sets of the first choices, with no more pieces than they
// take slot by slot, until one is found to do.
func (b *buyer) exactly(a asking, all []choice, best *candidate) (*candidate, error) {
	asked := 0
	for _, c := range all {
		if c.unmet > 0 || len(c.set) == 0 || best != nil && len(c.set) > len(best.set) || asked == askedExactly || a.ctx.Err() != nil {
			return best, nil
		}
		if len(distinct(c.set)) < len(c.values) {
			continue // as a smaller choice says
		}
		asked++
		if best != nil && len(c.set) == len(best.set) {
			b.promising = append(b.promising, c.set)
			continue
		}
		plan, known, err := b.ask(a, c.set)
		if err != nil {
			return best, err
		}
		if known == does {
			best = &candidate{c.set, plan.Networks}
		}
	}
	return best, nil
}

// amply asks about sets with pieces for all slots outside, and sheds those that one
// can do without.
func (b *buyer) amply(a asking, all []choice, best *candidate) (*candidate, error) {
	slices.SortFunc(all, byReach)
	for _, c := range all[:min(askedAtOnce, len(all))] {
		if c.unmet > 0 || best != nil || a.ctx.Err() != nil {
			break
		}
		plan, known, err := b.ask(a, c.ample)
		if err != nil {
			return best, err
		}
		if known == does {
			return b.shed(a, candidate{c.ample, plan.Networks}, plan)
		}
	}
	return best, nil
}

// plenty asks about choices of values with as many pieces as there is room for,
// and sheds those that one can do without. It notes whether all are refuted.
func (b *buyer) plenty(a asking, all []choice, best *candidate) (*candidate, error) {
	slices.SortFunc(all, byReach)
	for k, c := range all {
		switch {
		case best != nil || c.unmet > 0:
			return best, nil
		case a.ctx.Err() != nil || a.quick && k == askedAtOnce:
			b.refuted = false
			return best, nil
		}
		var err error
		if best, err = b.plentyOf(a, c.values); err != nil {
			return best, err
		}
	}
	return best, nil
}

// mostCopies is how many pieces of each value are enough for plenty.
const mostCopies = 24

// plentyOf asks about plenty of some values.
func (b *buyer) plentyOf(a asking, values []int) (*candidate, error) {
	copies := 0
	for _, n := range a.needs {
		copies += n.AtMost
	}
	var all set
	for _, v := range values {
		all = append(all, slices.Repeat([]int{v}, min(copies, mostCopies))...)
	}
	plan, known, err := b.ask(a, all)
	b.refuted = b.refuted && known == doesNot && len(all) == copies*len(values)
	if known != does || err != nil {
		return nil, err
	}
	return b.shed(a, candidate{all, plan.Networks}, plan)
}

// shed leaves out pieces of a set that does, one after the other.
func (b *buyer) shed(a asking, c candidate, plan match.Plan) (*candidate, error) {
	for kept := 0; kept < len(c.set); {
		less := b.used(plan, c.set)
		if len(less) == len(c.set) {
			less = slices.Delete(slices.Clone(c.set), kept, kept+1)
		}
		other, known, err := b.ask(a, less)
		switch {
		case err != nil:
			return nil, err
		case known == does:
			c, plan = candidate{less, other.Networks}, other
		case len(less) == len(c.set)-1:
			for kept++; kept < len(c.set) && c.set[kept] == c.set[kept-1]; {
				kept++ // another of the same value
			}
		default:
			return &c, nil // the pieces used alone must do; no time to see it
		}
	}
	return &c, nil
}

// distinct returns the different values of a set.
func distinct(pieces set) []int { return slices.Compact(slices.Clone([]int(pieces))) }

// better orders sets that do by pieces and then by values.
func better(a, b set) int {
	return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(len(distinct(a)), len(distinct(b))))
}
