package buy

import (
	"cmp"
	"context"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/match/solve"
)

// mostAsked is how many sets are asked about, one by one, where that proves that
// none of them does, or to find the best of as many pieces.
const (
	mostAsked = 3000
	mostAlike = 24
)

// proven sees whether fewer pieces do, and returns the best set of the fewest and
// whether they are proven to be. some tells that the stock alone is proven not to
// do.
func (b *buyer) proven(best candidate, some bool) (candidate, bool, error) {
	floor := b.floor(len(best.set))
	if some {
		floor = max(floor, 1)
	}
	proven := some || floor > 0
	for n := max(floor, 1); n < len(best.set) && proven; n++ {
		sets := b.sets(n, mostAsked)
		proven = sets != nil
		for _, pieces := range sets {
			if b.ctx.Err() != nil {
				return best, false, nil
			}
			plan, known, err := b.ask(asking{b.ctx, b.p.Needs, false, forOne}, pieces)
			if err != nil {
				return best, false, err
			}
			if known == does {
				best = candidate{pieces, plan.Networks}
				break
			}
			proven = proven && known == doesNot
		}
	}
	best, err := b.alike(best)
	return best, proven, err
}

// floor is how many pieces it takes at least, counted slot by slot: no need to count
// further than most.
func (b *buyer) floor(most int) (total int) {
	for i := range b.p.Needs {
		for least := 0; total < most && !b.any(b.ctx, b.wide, i, least); least++ {
			total++
		}
	}
	return total
}

// any tells whether a slot may be filled within its window by a network with at
// most so many pieces: false only if it is proven that none does.
func (b *buyer) any(ctx context.Context, v view, slot, pieces int) bool {
	finder, n := b.endless, v.needs[slot]
	if pieces == 0 {
		finder = b.own
	}
	ctx, stop := b.p.ShareOf(ctx, forOne)
	defer stop()
	most := n.AtMost
	for n.AtMost = 0; n.AtMost <= most; n.AtMost++ {
		if !b.suffice(v, slot, n, pieces) {
			continue
		}
		found := false
		all := finder.Each(ctx, n, n.AtMost, v.lo[slot]*(1-rounding), v.hi[slot]*(1+rounding), func(x network.Network) bool {
			set, at := x.Set(), n.AtMost-pieces-1 // ascending: with more pieces, this one is one
			found = at < 0 || int(set[at]) < len(b.parts)
			return !found
		})
		if found || !all {
			return true
		}
	}
	return false
}

// suffice tells whether the most that the parts of a network can do, at most so
// many of them pieces, comes to what a slot needs. No part of it takes more than the
// whole flow, nor more than it bears; what all of them dissipate is what the network
// does, which limits its value from above. Conductances come to no more than all in
// parallel, and the flow to no more than all bear.
func (b *buyer) suffice(v view, slot int, n match.Need, pieces int) bool {
	p := place{need: n, flow: v.flow(slot)}
	value := func(x match.Part) float64 { return p.inSeries(block{x.Value, x.Bears}) }
	conductance := func(p match.Part) float64 { return 1 / p.Value }
	bears := func(p match.Part) float64 { return p.Bears }
	return b.sumOf(n, pieces, value) >= v.lo[slot]*(1-rounding) && b.sumOf(n, pieces, conductance) >= (1-rounding)/v.hi[slot] &&
		b.sumOf(n, pieces, bears) >= p.flow*(1-rounding)
}

// sumOf adds up the most of something that the parts of one network can have, up to
// as many as the need allows and so many of them pieces.
func (b *buyer) sumOf(n match.Need, pieces int, of func(match.Part) float64) float64 {
	kept, best := 0.0, 0.0
	if n.Keeps() {
		kept = of(match.Part{Value: n.Keep, Bears: n.KeepBears})
	}
	var top []float64
	for _, p := range b.parts {
		top = append(top, of(p))
	}
	slices.SortFunc(top, func(x, y float64) int { return cmp.Compare(y, x) })
	for _, p := range b.pieces {
		best = max(best, of(p))
	}
	most := 0.0
	for m := range min(pieces, n.AtMost) + 1 {
		sum := kept
		for range m {
			sum += best
		}
		for _, x := range top[:min(n.AtMost-m, len(top))] {
			sum += x
		}
		most = max(most, sum)
	}
	return most
}

// sets lists all sets of so many pieces that are allowed, nil where they are more
// than most.
func (b *buyer) sets(n, most int) []set {
	var out []set
	var extend func(from set)
	extend = func(from set) {
		if len(out) > most || len(distinct(from)) > b.most {
			return
		}
		if len(from) == n {
			out = append(out, slices.Clone(from))
			return
		}
		first := 0
		if len(from) > 0 {
			first = from[len(from)-1]
		}
		for v := first; v < len(b.pieces); v++ {
			extend(append(from, v))
		}
	}
	extend(make(set, 0, n))
	if len(out) > most {
		return nil
	}
	return out
}

// alike looks for the best plan among sets of as many pieces: among all, where
// these are few, else among the most promising.
func (b *buyer) alike(best candidate) (candidate, error) {
	sets := b.sets(len(best.set), mostAlike)
	if sets == nil {
		sets = b.promising
	}
	p := b.asked
	p.Enough = 0
	var first *match.Plan
	for k, pieces := range append([]set{best.set}, sets[:min(mostAlike, len(sets))]...) {
		if b.ctx.Err() != nil {
			break
		}
		if len(pieces) != len(best.set) || k > 0 && (slices.Equal(pieces, best.set) || better(pieces, best.set) > 0) {
			continue
		}
		ctx, stop := b.p.ShareOf(b.ctx, forOne)
		s, err := b.stockWith(pieces)
		if err != nil {
			stop()
			return best, err
		}
		plan, err := solve.Plan(ctx, s, p)
		if stop(); err != nil {
			return best, err
		}
		if within(plan, b.class) && (first == nil || better(pieces, best.set) < 0 || better(pieces, best.set) == 0 && plan.Key.CompareAll(&first.Key) < 0) {
			best, first = candidate{pieces, plan.Networks}, &plan
		}
	}
	return best, nil
}

// room is how many pieces all slots can take.
func (b *buyer) room() (total int) {
	for _, n := range b.p.Needs {
		total += n.AtMost
	}
	return total
}
