package objective

import (
	"context"
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
)

// reach widens the windows of slots that share ranges with others and have no
// network within, as far as the nearest one, unless Overreach forbids that
// whatever the others take.
func (pl *Objective) reach() {
	if pl.Stock.Len() == 0 || !slices.ContainsFunc(pl.Needs, func(n match.Need) bool { return n.Reach }) {
		return
	}
	pl.Needs = slices.Clone(pl.asked)
	n := len(pl.Needs)
	lo, hi, open := make([]float64, n), make([]float64, n), make([]bool, n)
	for _, circuit := range pl.Circuits() {
		for _, i := range circuit {
			need := &pl.Needs[i]
			lo[i], hi[i] = pl.Wanted.Reach(*need)
			if !need.Reach || len(circuit) < 2 || pl.Fewest(i, lo[i], hi[i], 0) >= 0 {
				continue
			}
			if lo[i] = pl.nearest(i); lo[i] > 0 {
				need.Within = math.Abs(lo[i]/need.Target-1) * (1 + 1e-9)
			}
			hi[i], open[i] = lo[i], lo[i] == 0
		}
	}
	for i := pl.overreach(lo, hi, open); i >= 0; i = pl.overreach(lo, hi, open) {
		pl.Needs[i], open[i] = pl.asked[i], true
	}
}

// nearest returns the value of the network nearest to the target of a slot, 0
// where there is none.
func (pl *Objective) nearest(i int) (value float64) {
	far := pl.Needs[i]
	far.Within = math.Inf(1)
	for _, far.AtMost = range []int{min(far.AtMost, pair), far.AtMost} {
		if got := pl.Wanted.Nearest(pl.lasting(far.AtMost), far, 0, 1); len(got.Choices) > 0 {
			value = got.Choices[0].Network.Value()
		}
	}
	return value
}

// pair is how many parts networks have that are looked for without looking at the
// time: there is a plan at once.
const pair = 2

// lasting is the context for networks of so many parts.
func (pl *Objective) lasting(parts int) context.Context {
	if parts <= pair {
		return context.WithoutCancel(pl.Context)
	}
	return pl.Context
}

// Fewest returns how many parts, from some number on, networks for a slot with
// values from lo to hi have at least, -1 if there are none, or the context ended.
func (pl *Objective) Fewest(slot int, lo, hi float64, from int) int {
	need, found := pl.Needs[slot], false
	for m := from; m <= need.AtMost; m++ {
		if pl.Finder.Each(pl.lasting(m), need, m, lo, hi, func(network.Network) bool { found = true; return false }); found {
			return m
		}
	}
	return -1
}

// Overreach returns the slot that must not reach as far as it does with these
// networks, the furthest off of several, -1 if there is none: full scale applied to
// a range would overdrive the movement by it, or no range gains anything.
func (pl *Objective) Overreach(nets []network.Network) int {
	at, open := slices.Clone(pl.targets), make([]bool, len(nets))
	for i, n := range nets {
		if open[i] = n.IsZero(); !open[i] {
			at[i] = n.Value()
		}
	}
	return pl.overreach(at, at, open)
}

// overreach is Overreach for slots that stand anywhere from lo to hi, those that
// reach on one value.
func (pl *Objective) overreach(lo, hi []float64, open []bool) int {
	worst, furthest := -1, 0.0
	for i, n := range pl.asked {
		times := lo[i] / n.Target
		reaches := n.Reach && !open[i] && lo[i] == hi[i] && math.Abs(times-1) > n.Within*(1+match.Guard)
		if far := math.Abs(math.Log(times)); reaches && far > furthest && !pl.mayReach(i, times > 1, lo, hi, open) {
			worst, furthest = i, far
		}
	}
	pl.Reset()
	return worst
}

// mayReach tells whether a slot that stands above or below its window does good
// and no harm.
func (pl *Objective) mayReach(i int, above bool, lo, hi []float64, open []bool) bool {
	gains := false
	for r, slots := range pl.SlotsOf {
		rising := pl.response.Rising(r, i)
		if rising == 0 || slices.ContainsFunc(slots, func(k int) bool { return open[k] }) {
			continue
		}
		if (rising > 0) == above && pl.corner(r, i, lo[i], -1, lo, hi) > match.Overdrive {
			return false
		}
		gains = gains || pl.Least(r, lo, hi) <= 100*pl.asked[i].Within
	}
	return gains
}
