package purchase

import (
	"cmp"
	"context"
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/coupled"
	"shuntwright/match/disjoint"
	"shuntwright/match/disjoint/pack"
	"shuntwright/match/network"
)

// buyBudget is how often Response is asked in one question where positions are
// coupled, before that is given up: about a second.
const buyBudget = coupled.DefaultBudget

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
func (b *buyer) coupled(k int) (nets []match.Network, refuted bool, err error) {
	for top := listedFirst; ; top *= 4 {
		whole := true
		slots, from := make([]coupled.Slot, len(b.p.Needs)), make([][]match.Network, len(b.p.Needs))
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
	picks, err := pack.New(b.tokens(lists, k)).Find(b.ctx, nil)
	return picks == nil && err == nil
}

// toFill returns as many networks of a slot as matter to whether all slots can
// be filled at once, whatever their values.
func (b *buyer) toFill(slot int, nets []match.Network) (out []candidate) {
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
func (b *buyer) tokenSlot(list []match.Network, k int) (slot coupled.Slot, from []match.Network) {
	slices.SortFunc(list, func(x, y match.Network) int { return cmp.Or(cmp.Compare(x.Value(), y.Value()), network.Compare(x, y)) })
	for _, n := range list {
		for _, parts := range b.withTokens(n, k) {
			slot.Candidates = append(slot.Candidates, coupled.Candidate{Value: n.Value(), Parts: parts})
			from = append(from, n)
		}
	}
	return slot, from
}

// solve asks package coupled at first whether any choice comes within the
// class, which is less work than to find the best, and then for the best.
func (b *buyer) solve(slots []coupled.Slot, from [][]match.Network, k int) (nets []match.Network, refuted bool, err error) {
	if slices.ContainsFunc(slots, func(s coupled.Slot) bool { return len(s.Candidates) == 0 }) {
		return nil, true, nil
	}
	limit := b.class + coupled.Equal
	a, err := b.ask(slots, k, limit, func(s coupled.Progress) bool { return s.Worst <= limit || s.Bound >= limit })
	if err != nil || a.Filled < len(slots) || a.Worst > limit {
		return nil, err == nil && (a.Proven || a.Filled == len(slots) && a.Bound >= limit), err
	}
	best, err := b.ask(slots, k, 0, func(coupled.Progress) bool { return false })
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
func (b *buyer) ask(slots []coupled.Slot, k int, enough float64, done func(coupled.Progress) bool) (coupled.Answer, error) {
	ctx, stop := context.WithCancel(b.ctx)
	defer stop()
	return coupled.Solve(ctx, coupled.Problem{Parts: b.scarce + k, Slots: slots, Ranges: b.p.Ranges,
		Response: &counted{Response: b.p.Response, left: buyBudget, stop: stop},
		Enough:   enough, Budget: coupled.DefaultBudget, Gap: smallGap,
		Step: func(s coupled.Progress) {
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
	if !b.Narrow(lo, hi, ranges, b.class+disjoint.Equal) {
		return false
	}
	for i := range b.p.Needs {
		b.p.Needs[i] = b.p.Needs[i].Between(lo[i], hi[i])
	}
	return true
}
