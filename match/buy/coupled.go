package buy

import (
	"cmp"
	"context"
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/assign/sat"
	"shuntwright/match/branch"
	"shuntwright/match/branch/node"
	"shuntwright/match/network"
)

// buyBudget is how often Response is asked in one question where positions are
// coupled, before that is given up: about a second.
const buyBudget = branch.DefaultBudget

// Lists for coupled slots start with so many networks a slot, and grow until
// they hold all in the window, or so many.
const (
	listedFirst = 4096
	listedMost  = 1 << 16
)

// smallGap, in percentage points, is so little that proving more of the worst
// error serves nobody.
const smallGap = 1e-3

// coupled looks for the best choice with at most k pieces where slots move
// ranges together, with tokens for the pieces as in separately.
func (b *buyer) coupled(k int) (nets []network.Network, refuted bool, err error) {
	for top := listedFirst; ; top *= 4 {
		whole := true
		slots, from := make([]branch.Slot, len(b.p.Needs)), make([][]network.Network, len(b.p.Needs))
		fewer := make([][]candidate, len(b.p.Needs))
		for i := range b.p.Needs {
			got, err := b.pick(b.query(i, 0, 0, k), top)
			if err != nil {
				return nil, false, err
			}
			whole = whole && got.Proven && len(got.Choices) < top
			slots[i], from[i] = b.tokenSlot(networks(got), k)
			fewer[i] = b.toFill(i, networks(got))
		}
		if b.cannotFill(fewer, k) {
			refuted = true
		} else {
			nets, refuted, err = b.solve(slots, from, k)
		}
		if nets != nil || err != nil || whole || top >= listedMost || b.ctx.Err() != nil {
			return nets, refuted && whole && b.ctx.Err() == nil, err
		}
	}
}

// cannotFill reports whether it is proven that the slots cannot all be filled;
// with many networks to count it is not asked, since they hardly ever cannot.
func (b *buyer) cannotFill(lists [][]candidate, k int) bool {
	const few = 2000
	if len(slices.Concat(lists...)) > few {
		return false
	}
	picks, err := sat.New(b.tokens(lists, k)).Find(b.ctx, nil)
	return picks == nil && err == nil
}

// toFill returns as many networks of a slot as matter to whether all slots can
// be filled at once, whatever their values.
func (b *buyer) toFill(slot int, nets []network.Network) (out []candidate) {
	slices.SortFunc(nets, network.Compare)
	for m := range b.copies + 1 {
		var list []candidate
		for _, n := range nets {
			if b.pieces(n) == m {
				list = append(list, candidate{net: n})
			}
		}
		list = b.onePerSet(list)
		out = append(out, list[:min(b.apart(slot, list)+1, len(list))]...)
	}
	return out
}

// tokenSlot makes the candidates of a slot, ascending by value.
func (b *buyer) tokenSlot(list []network.Network, k int) (slot branch.Slot, from []network.Network) {
	slices.SortFunc(list, func(x, y network.Network) int {
		return cmp.Or(cmp.Compare(x.Value(), y.Value()), network.Compare(x, y))
	})
	for _, n := range list {
		for _, parts := range b.withTokens(n, k) {
			slot.Candidates = append(slot.Candidates, node.Candidate{Value: n.Value(), Parts: parts})
			from = append(from, n)
		}
	}
	return slot, from
}

// solve asks package branch at first whether any choice comes within the
// class, which is less work than to find the best, and then for the best.
func (b *buyer) solve(slots []branch.Slot, from [][]network.Network, k int) (nets []network.Network, refuted bool, err error) {
	if slices.ContainsFunc(slots, func(s branch.Slot) bool { return len(s.Candidates) == 0 }) {
		return nil, true, nil
	}
	limit := b.class + match.Equal
	a, err := b.ask(slots, k, limit, func(s branch.Progress) bool { return s.Worst <= limit || s.Bound >= limit })
	if err != nil || a.Filled < len(slots) || a.Worst > limit {
		return nil, err == nil && (a.Proven || a.Filled == len(slots) && a.Bound >= limit), err
	}
	best, err := b.ask(slots, k, 0, func(branch.Progress) bool { return false })
	if best.Filled == len(slots) && !(best.Worst > a.Worst) {
		a = best
	}
	for i, c := range a.Chosen {
		nets = append(nets, from[i][c])
	}
	return nets, false, err
}

// ask puts one question, and leaves off when all slots are filled and done
// says so, or when the budget is spent.
func (b *buyer) ask(slots []branch.Slot, k int, enough float64, done func(branch.Progress) bool) (branch.Answer, error) {
	ctx, stop := context.WithCancel(b.ctx)
	defer stop()
	return branch.Solve(ctx, branch.Problem{Parts: b.scarce + k, Slots: slots, Ranges: b.p.Ranges,
		Response: &counted{Response: b.p.Response, left: buyBudget, stop: stop},
		Enough:   enough, Budget: branch.DefaultBudget, Gap: smallGap,
		Step: func(s branch.Progress) {
			if s.Filled == len(slots) && done(s) {
				stop()
			}
		}})
}

// counted stops a search after so many questions.
type counted struct {
	match.Response
	left int
	stop func()
}

func (c *counted) Errors(dst, ohms []float64) {
	if c.left--; c.left == 0 {
		c.stop()
	}
	c.Response.Errors(dst, ohms)
}

// narrow cuts the windows of the needs to the values that can bring every range
// within the class while the other slots stand anywhere in their windows, and
// puts the targets into their middles. It reports false if a window is empty.
func (b *buyer) narrow() bool {
	least, most := math.Inf(1), 0.0
	for _, p := range b.parts {
		least, most = min(least, p.Value), max(most, p.Value)
	}
	b.p.Needs = slices.Clone(b.p.Needs)
	lo, hi, ranges := make([]float64, len(b.p.Needs)), make([]float64, len(b.p.Needs)), make([]int, b.p.Ranges)
	for i, n := range b.p.Needs {
		if lo[i], hi[i] = n.Span(least, most); lo[i] > hi[i] {
			return false
		}
	}
	for r := range ranges {
		ranges[r] = r
	}
	if !b.Narrow(lo, hi, ranges, b.class+match.Equal) {
		return false
	}
	for i := range b.p.Needs {
		b.p.Needs[i] = b.p.Needs[i].Between(lo[i], hi[i])
	}
	return true
}
