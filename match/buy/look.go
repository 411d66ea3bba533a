package buy

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"shuntwright/match"
	"shuntwright/match/solve"
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

// lookIn looks for a set with so many passes, and after all of them among all
// choices.
func (b *buyer) lookIn(ctx context.Context, v view, most int, best *candidate) (*candidate, error) {
	b.refuted = false
	empty := make([]bool, len(v.needs)) // that the stock alone cannot fill
	for i := range empty {
		empty[i] = !b.any(ctx, v, i, 0)
	}
	share, stop := b.p.ShareOf(ctx, forOptions)
	w := b.wants(share, v, empty)
	stop()
	share, stop = b.p.ShareOf(ctx, forOptions)
	sizes := b.sizes(share, w)
	stop()
	var err error
	for _, pass := range passes[:most] {
		part, stop := b.p.ShareOf(ctx, pass.share)
		a := asking{part, v.needs, pass.quick, forOne}
		for _, all := range sizes {
			if best, err = pass.over(b, a, all, best); err != nil {
				break
			}
		}
		if stop(); best != nil || err != nil || ctx.Err() != nil {
			return best, err
		}
	}
	if most < len(passes) {
		return nil, nil
	}
	return b.halving(ctx, v)
}

// passes are the ways in which choices of values are asked about, one after the
// other until a set is found: sets of the pieces that slots must have, one by one;
// of those that the others outside would have too; plenty of each value. First only
// so far as a good plan is found at once.
var passes = []struct {
	quick bool
	share float64 // of the time left
	over  func(b *buyer, a asking, all []choice, best *candidate) (*candidate, error)
}{
	{true, 0.4, (*buyer).exactly},
	{true, 0.5, (*buyer).amply},
	{true, 0.4, (*buyer).plenty},
	{false, 0.4, (*buyer).exactly},
}

// quickPasses are the first of them.
const quickPasses = 3

// sizes are the choices of values by how many they are.
func (b *buyer) sizes(ctx context.Context, w *wanted) (sizes [][]choice) {
	var from []choice
	for n := 1; n <= min(b.most, len(b.pieces)); n++ {
		all := w.choices(ctx, len(b.pieces), from, n == b.most)
		if len(all) == 0 {
			break
		}
		sizes, from = append(sizes, all), all
	}
	return sizes
}

// exactly asks about the sets of the first choices, with no more pieces than they
// take slot by slot, until one is found to do.
func (b *buyer) exactly(a asking, all []choice, best *candidate) (*candidate, error) {
	asked := 0
	for _, c := range all {
		if c.unmet > 0 || len(c.set) == 0 || best != nil && len(c.set) > len(best.set) || asked == askedExactly || a.ctx.Err() != nil {
			return best, nil
		}
		if len(distinct(c.set)) < len(c.values) || b.futile(a, c.values) {
			continue // as a smaller choice says, or none of these values does
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

// amply asks about sets with pieces for all slots outside.
func (b *buyer) amply(a asking, all []choice, best *candidate) (*candidate, error) {
	return b.atOnce(a, all, best, func(c choice) set { return c.ample })
}

// mostCopies is how many pieces of each value are enough for plenty.
const mostCopies = 24

// plenty asks about choices of values with as many pieces as there is room for.
func (b *buyer) plenty(a asking, all []choice, best *candidate) (*candidate, error) {
	return b.atOnce(a, all, best, func(c choice) set { return copiesOf(c.values, min(b.room(), mostCopies)) })
}

// atOnce asks about the sets of the first choices that leave no slot unmet, until one
// is found to do.
func (b *buyer) atOnce(a asking, all []choice, best *candidate, of func(choice) set) (*candidate, error) {
	slices.SortFunc(all, byReach)
	for _, c := range all[:min(askedAtOnce, len(all))] {
		if best != nil || c.unmet > 0 || a.ctx.Err() != nil {
			break
		}
		if b.futile(a, c.values) {
			continue
		}
		var err error
		if best, _, err = b.askAndShed(a, of(c)); err != nil {
			return nil, err
		}
	}
	return best, nil
}

// askAndShed asks about a set, and sheds the pieces that one can do without where what
// is taken is of no more values than are allowed.
func (b *buyer) askAndShed(a asking, pieces set) (*candidate, verdict, error) {
	plan, known, err := b.ask(a, pieces)
	if err != nil || known != does || len(distinct(b.used(plan, pieces))) > b.most {
		return nil, known, err
	}
	best, err := b.shed(a, candidate{pieces, plan.Networks}, plan)
	return best, known, err
}

func copiesOf(values []int, copies int) (all set) {
	for _, v := range values {
		all = append(all, slices.Repeat([]int{v}, copies)...)
	}
	return all
}

// futile tells whether it is known, at once, that no number of pieces of these values
// does.
func (b *buyer) futile(a asking, values []int) bool {
	most := 0
	for _, n := range a.needs {
		most = max(most, n.AtMost)
	}
	key := fmt.Sprint(most, values)
	if _, known := b.tried[key]; !known {
		p := b.p
		p.Needs = a.needs
		s, err := b.stockWith(copiesOf(values, b.room()))
		b.tried[key] = err == nil && solve.Impossible(a.ctx, s, p)
	}
	return b.tried[key]
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
