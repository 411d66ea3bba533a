package assign

import (
	"cmp"
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/network"
)

// mostListed is how many networks a shortlist is made from at most, so that
// all lists together stay in memory.
func (pl *planner) mostListed() int { return min(1<<18, 1<<21/max(1, len(pl.Needs))) }

// costed is a network with what its range then counts for, in percent.
type costed struct {
	net  network.Network
	cost float64
}

// shortlist holds the networks that may be wanted for one slot whose range
// depends on it alone: for each set of parts the cheapest.
type shortlist struct {
	slot  int
	top   int // how many networks nearest to the target it was made from
	of    []costed
	level float64 // every network that costs no more and may be wanted is there; +Inf: they all are
}

// best is the smallest cost, +Inf if there is none.
func (l *shortlist) best() float64 {
	if len(l.of) == 0 {
		return math.Inf(1)
	}
	return l.of[0].cost
}

// grow makes the list again, from the top networks nearest to the target, but
// not from those that can cost more than so much. It reports false if the
// context ended before that.
func (pl *planner) grow(l *shortlist, top int, upTo float64) bool {
	need := pl.Needs[l.slot]
	need.Within = pl.FractionAt(l.slot, upTo, need.Within)
	nets, reach, ok := pl.nearest(l.slot, need, 0, top)
	list := pl.cheapest(l.slot, nets)
	if !ok {
		if len(l.of) == 0 {
			l.of = list // better than nothing
		}
		return false
	}
	l.top, l.of, l.level = top, list, reach
	return true
}

// nearest returns the top networks, of the fewest parts at least, nearest to the
// target of a need of the slot, and a cost up to which that is all of them, +Inf
// if there are no more for the slot.
func (pl *planner) nearest(slot int, n match.Need, fewest, top int) (nets []network.Network, reach float64, ok bool) {
	got := pl.Wanted.Nearest(pl.Context, n, fewest, top)
	far := 0.0
	for _, c := range got.Choices {
		nets = append(nets, c.Network)
		far = max(far, math.Abs(c.Error))
	}
	switch {
	case !got.Proven:
		return nets, 0, false
	case len(nets) == top:
		return nets, pl.CostBeyond(slot, far-2*enumerate.Equal), true
	case n.Within < pl.Needs[slot].Within:
		return nets, pl.CostBeyond(slot, n.Within), true
	}
	return nets, math.Inf(1), true
}

// cheapest returns the networks with their costs, ascending, one for each set
// of parts.
func (pl *planner) cheapest(slot int, nets []network.Network) []costed {
	out := make([]costed, len(nets))
	all := make([]network.Network, len(pl.Needs))
	pl.Reset()
	for k, n := range nets {
		all[slot] = n
		out[k] = costed{n, pl.CostAlone(slot, all)}
	}
	slices.SortFunc(out, func(a, b costed) int {
		if c := cmp.Compare(a.cost, b.cost); c != 0 {
			return c
		}
		return network.Compare(a.net, b.net)
	})
	seen := make(map[network.Set]bool, len(out))
	return slices.DeleteFunc(out, func(c costed) bool {
		set := c.net.Set()
		again := seen[set]
		seen[set] = true
		return again
	})
}

// enoughApart returns the index of the first candidate by which so many share
// no part among themselves (those before counting too) that, whatever the
// other slots take, one of them is left: then nothing that is worse can be
// wanted. It returns len(list) if there are not so many.
func (pl *planner) enoughApart(slot int, before, list []costed) int {
	all := slices.Concat(before, list)
	nets := make([]network.Network, len(all))
	for k, c := range all {
		nets[k] = c.net
	}
	return max(pl.apart(slot, nets), len(before)) - len(before)
}

// apart returns the index of the first network by which so many share no part that
// one of them is left whatever the other slots take, len(nets) if there are not so
// many.
func (pl *planner) apart(slot int, nets []network.Network) int {
	others := -pl.Needs[slot].AtMost
	for _, n := range pl.Needs {
		others += n.AtMost
	}
	return network.Apart(nets, others+1)
}
