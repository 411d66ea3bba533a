package buy

import (
	"context"
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/network"
	"shuntwright/match/objective"
	"shuntwright/match/solve"
)

// buyer looks for what to buy.
type buyer struct {
	*objective.Links
	ctx       context.Context
	stock     *enumerate.Stock
	parts     []match.Part      // of stock
	pieces    []match.Part      // one of each value, ascending
	own       *enumerate.Finder // of the stock
	endless   *enumerate.Finder // of the stock with as many pieces as wanted behind it
	asked     match.Problem
	p         match.Problem // as asked about: whether every range is within the class
	most      int
	class     float64
	alone     match.Plan // what the stock does by itself
	refuted   bool       // all choices of values were asked about, and none does
	promising []set      // of the best choices that were not asked about
	shelf     *shelf
	tried     map[string]bool // choices of values, whether they are known to be futile
	wide      view            // as asked, with the values that can bring every range within the class
}

// set is a choice of pieces, one entry a piece: indexes of their values, ascending.
type set []int

// candidate is a set that does, with the networks that show it.
type candidate struct {
	set  set
	nets []network.Network // of the stock with the pieces behind it
}

func newBuyer(ctx context.Context, s *enumerate.Stock, p match.Problem, offer Offer, most int, class float64) (*buyer, error) {
	b := &buyer{ctx: ctx, stock: s, parts: s.Parts(), asked: p, p: p, most: most, class: class, tried: map[string]bool{}}
	b.asked.Limit, b.asked.LimitFloor, b.asked.Enough = nil, nil, min(p.Enough, class)
	b.asked.Progress = nil
	b.p = b.asked
	b.p.Class, b.p.Enough = class, class
	if b.p.Resolution == 0 || b.p.Resolution > class {
		b.p.Resolution = class
	}
	targets := make([]float64, len(p.Needs))
	for i, n := range p.Needs {
		targets[i] = n.Target
	}
	b.Links = objective.NewLinks(p.Response, p.Ranges, targets)
	for _, v := range slices.Compact(slices.Sorted(slices.Values(offer.Values))) {
		b.pieces = append(b.pieces, match.Part{Value: v, Bears: offer.bears(v)})
	}
	all, err := enumerate.NewStock(slices.Concat(b.parts, b.pieces))
	if err != nil {
		return nil, err
	}
	b.own, b.endless = s.All().Finder(), all.Endless(len(b.pieces))
	return b, nil
}

// within reports whether every position is filled and every range within class.
func within(p match.Plan, class float64) bool {
	return !slices.Contains(p.Filled, false) && !(p.Worst > class*(1+match.Guard))
}

// stockWith puts pieces behind the stock.
func (b *buyer) stockWith(pieces set) (*enumerate.Stock, error) {
	if len(pieces) == 0 {
		return b.stock, nil
	}
	parts := slices.Clone(b.parts)
	for _, i := range pieces {
		parts = append(parts, b.pieces[i])
	}
	return enumerate.NewStock(parts)
}

func (b *buyer) valuesOf(pieces set) []float64 {
	var out []float64
	for _, i := range pieces {
		out = append(out, b.pieces[i].Value)
	}
	return out
}

// verdict is what is known of a set of pieces.
type verdict int

const (
	unknown verdict = iota
	does
	doesNot // proven
)

// asking is how a set is asked about. Quickly, the first plan found decides; else
// the search goes on until it is known.
type asking struct {
	ctx   context.Context
	needs []match.Need
	quick bool
	share float64 // of the time left that one question may take
}

// ask asks package solve whether a set does, and leaves off as soon as it is seen
// that it does.
func (b *buyer) ask(a asking, pieces set) (match.Plan, verdict, error) {
	s, err := b.stockWith(pieces)
	if err != nil {
		return match.Plan{}, unknown, err
	}
	ctx, done := b.p.ShareOf(a.ctx, a.share)
	defer done()
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	p := b.p
	p.Needs = a.needs
	p.Progress = func(at match.Progress) {
		if a.quick || at.Filled == len(p.Needs) && at.Key.Points == 0 {
			stop()
		}
	}
	if !a.quick && len(pieces) > 0 && solve.Impossible(ctx, s, p) {
		return match.Plan{}, doesNot, nil
	}
	plan, err := solve.Once(ctx, s, p)
	switch {
	case err != nil:
		return plan, unknown, err
	case within(plan, b.class):
		return plan, does, nil
	case plan.Proven:
		return plan, doesNot, nil
	}
	return plan, unknown, nil
}

// used returns the pieces of a set that a plan takes.
func (b *buyer) used(plan match.Plan, pieces set) set {
	var out set
	for _, n := range plan.Networks {
		for _, part := range n.Parts() {
			if part >= len(b.parts) {
				out = append(out, pieces[part-len(b.parts)])
			}
		}
	}
	slices.Sort(out)
	return out
}

// hopeless tells whether no values at all can help: a range is outside that no
// slot moves, or one is wherever the slots stand, or no parts come to what a slot
// needs. It finds the windows of the slots.
func (b *buyer) hopeless() bool {
	b.Reset()
	b.Respond()
	ranges := make([]int, b.p.Ranges)
	for r, slots := range b.SlotsOf {
		if ranges[r] = r; len(slots) == 0 && math.Abs(b.Errors[r]) > b.class*(1+match.Guard) {
			return true
		}
	}
	least, most := math.Inf(1), 0.0
	for _, p := range slices.Concat(b.parts, b.pieces) {
		least, most = min(least, p.Value), max(most, p.Value)
	}
	b.wide = view{b.p.Needs, make([]float64, len(b.p.Needs)), make([]float64, len(b.p.Needs))}
	lo, hi := b.wide.lo, b.wide.hi
	for i, n := range b.p.Needs {
		if n.Reach {
			n.Within = math.Inf(1)
		}
		if lo[i], hi[i] = n.Span(least, most); !(lo[i] <= hi[i]) {
			return true
		}
	}
	if !b.Narrow(lo, hi, ranges, b.class*(1+match.Guard)) {
		return true
	}
	for i, n := range b.p.Needs {
		if !b.suffice(b.wide, i, n, n.AtMost) {
			return true
		}
	}
	return false
}
