package buy

import (
	"cmp"
	"slices"

	"shuntwright/match"
	"shuntwright/match/enumerate"
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
	floor, err := b.floor(len(best.set))
	if err != nil {
		return best, false, err
	}
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
	best, err = b.alike(best)
	return best, proven, err
}

// floor is how many pieces it takes at least, counted slot by slot: no need to count
// further than most.
func (b *buyer) floor(most int) (total int, err error) {
	least := make([]int, len(b.p.Needs))
	for i := range least {
		for total < most && least[i] <= b.p.Needs[i].AtMost {
			any, err := b.any(i, least[i])
			if err != nil {
				return total, err
			}
			if any {
				break
			}
			least[i]++
			total++
		}
	}
	return total, nil
}

// any tells whether a slot may be filled within its window by a network with at
// most so many pieces: false only if it is proven that none does.
func (b *buyer) any(slot, pieces int) (bool, error) {
	if !b.suffice(slot, pieces) {
		return false, nil
	}
	if b.ctx.Err() != nil {
		return true, nil
	}
	parts := slices.Clone(b.parts)
	for _, p := range b.pieces {
		parts = append(parts, slices.Repeat([]match.Part{p}, pieces)...)
	}
	s, err := enumerate.NewStock(parts)
	if err != nil {
		return false, err
	}
	q := b.wide.query(slot)
	if q.AtMost > pieces {
		q.Wanted = func(n network.Network) bool {
			set := n.Set()
			at := n.Size() - pieces - 1 // ascending: with more pieces, this one is one
			return at < 0 || int(set[at]) < len(b.parts)
		}
	}
	ctx, stop := b.p.ShareOf(b.ctx, forOne)
	defer stop()
	got, err := s.Pick(ctx, q)
	return err != nil || !got.Proven || len(got.Choices) > 0, err
}

// suffice tells whether the most that the parts of a network can do, at most so
// many of them pieces, comes to what a slot needs. No part of it takes more than the
// whole flow, nor more than it bears; what all of them dissipate is what the network
// does, which limits its value from above. Conductances come to no more than all in
// parallel, and the flow to no more than all bear.
func (b *buyer) suffice(slot, pieces int) bool {
	n := b.p.Needs[slot]
	p := place{need: n, flow: b.wide.flow(slot)}
	value := func(x match.Part) float64 { return p.inSeries(block{x.Value, x.Bears}) }
	conductance := func(p match.Part) float64 { return 1 / p.Value }
	bears := func(p match.Part) float64 { return p.Bears }
	return b.sumOf(n, pieces, value) >= b.wide.lo[slot]*(1-rounding) && b.sumOf(n, pieces, conductance) >= (1-rounding)/b.wide.hi[slot] &&
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
	for m := range pieces + 1 {
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

// unfillable tells whether it is proven that no pieces fill some slot.
func (b *buyer) unfillable() (bool, error) {
	for i, n := range b.p.Needs {
		if any, err := b.any(i, n.AtMost); err != nil || !any {
			return err == nil, err
		}
	}
	return false, nil
}

// room is how many pieces all slots can take.
func (b *buyer) room() (total int) {
	for _, n := range b.p.Needs {
		total += n.AtMost
	}
	return total
}
