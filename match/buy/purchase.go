// Package buy finds the fewest pieces of given values which, added to a
// stock, let every position be filled and every range come within a class.
package buy

import (
	"context"
	"fmt"
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/network"
	"shuntwright/match/objective"
	"shuntwright/match/solve"
)

// Offer is what can be bought.
type Offer struct {
	Values []float64 // positive and finite
	// Bears is the largest flow that a piece of that value may carry, positive;
	// nil: everything.
	Bears func(value float64) float64
}

func (o Offer) bears(value float64) float64 {
	if o.Bears == nil {
		return math.Inf(1)
	}
	return o.Bears(value)
}

// Bought answers what to buy.
type Bought struct {
	Values []float64 // ascending, one a piece; empty: nothing is needed, or nothing was found
	// Plan is that of the stock with the pieces behind it, in the order of
	// Values; of the stock alone where nothing was found.
	Plan   match.Plan
	Found  bool // Plan fills every position, and every range is within the class
	Proven bool // no set of fewer pieces does; where nothing was found, no set of at most so many
}

// Fewest names the smallest set of at most most pieces of the given values, each
// to be had as often as wanted, that lets every position be filled with every
// |error| at most class (percent, 1e-9 more forgiven). match.Problem.Limit is
// not read, since nobody knows yet how far a piece will be off: pieces have their
// values exactly, bear what the offer says, and all goes by errors alone.
//
// Of several sets of one size, it is the one whose plan has the smallest worst
// error, the smallest next worst, and so on, then the fewest parts; Enough does
// not matter to this, and at most class of it to the Plan. What is still equal
// goes by the parts of the stock that are used, position by position, then by
// the smaller values. This holds for the whole of it where every range depends
// on one position only. Where positions are coupled, it holds as far as Plan is
// exact for coupled positions, and the search gives up a number of pieces after
// a certain number of questions; Proven tells whether that mattered.
//
// An error means that it cannot be asked: values must be positive and finite
// (1e-100 to 1e100) and at least one, most at least 1, class positive and
// finite. A context that ends is none: Proven is then false.
func Fewest(ctx context.Context, s *enumerate.Stock, p match.Problem, offer Offer, most int, class float64) (Bought, error) {
	if err := checkBuy(offer.Values, most, class); err != nil {
		return Bought{}, fmt.Errorf("what to buy: %w", err)
	}
	p.Limit, p.Enough = nil, min(p.Enough, class)
	plan, err := solve.Plan(ctx, s, p)
	if err != nil {
		return Bought{}, fmt.Errorf("what to buy: %w", err)
	}
	if within(plan, class) {
		return Bought{Plan: plan, Found: true, Proven: true}, nil
	}
	b, err := newBuyer(ctx, s, p, offer, most, class)
	if err != nil {
		return Bought{}, fmt.Errorf("what to buy: %w", err)
	}
	return b.run(plan)
}

func checkBuy(values []float64, most int, class float64) error {
	switch {
	case len(values) == 0:
		return fmt.Errorf("no values to choose from")
	case most < 1:
		return fmt.Errorf("at most %d pieces: it must be at least 1", most)
	case !(class > 0) || math.IsInf(class, 1):
		return fmt.Errorf("class %v %%: it must be positive and finite", class)
	}
	for i, v := range values {
		if !(v >= match.Smallest && v <= match.Largest) {
			return fmt.Errorf("value %d is %v: it must be positive and finite (%v to %v)", i+1, v, match.Smallest, match.Largest)
		}
	}
	return nil
}

// within reports whether every position is filled and every range within class.
func within(p match.Plan, class float64) bool {
	return !slices.Contains(p.Filled, false) && !(p.Worst > class+match.Equal)
}

// buyer looks for what to buy. It works on the stock with copies of all values
// behind it, as many of each as a network may hold.
type buyer struct {
	*objective.Links
	ctx    context.Context
	stock  *enumerate.Stock
	parts  []match.Part  // of stock
	before []int32       // of each part, the one before it among its equals, -1 if there is none
	rank   []int         // of each part, how many equal ones stand before it
	p      match.Problem // with windows that narrow
	asked  match.Problem // as asked
	scarce int           // the parts below this index are those of the stock, there once each; the others are copies of values to be bought
	copies int           // how many there are of each value
	most   int
	class  float64
	lists  [][]pieceList // where positions are separate: of each slot, by number of pieces
}

func newBuyer(ctx context.Context, s *enumerate.Stock, p match.Problem, offer Offer, most int, class float64) (*buyer, error) {
	b := &buyer{ctx: ctx, p: p, asked: p, scarce: s.Len(), class: class, parts: s.Parts(), lists: make([][]pieceList, len(p.Needs))}
	b.ties()
	var targets []float64
	for _, n := range p.Needs {
		b.copies = max(b.copies, min(n.AtMost, most))
		targets = append(targets, n.Target)
	}
	b.Links = objective.NewLinks(p.Response, p.Ranges, targets)
	b.most = min(most, b.room()) // no more have a place
	for _, v := range slices.Compact(slices.Sorted(slices.Values(offer.Values))) {
		b.parts = append(b.parts, slices.Repeat([]match.Part{{Value: v, Bears: offer.bears(v)}}, b.copies)...)
	}
	var err error
	b.stock, err = enumerate.NewStock(b.parts)
	return b, err
}

// ties finds the parts of the stock that are equal.
func (b *buyer) ties() {
	last := map[match.Part]int32{}
	for i, p := range b.parts {
		before, any := last[p]
		last[p] = int32(i)
		if !any {
			b.before, b.rank = append(b.before, -1), append(b.rank, 0)
			continue
		}
		b.before, b.rank = append(b.before, before), append(b.rank, b.rank[before]+1)
	}
}

// room returns how many parts all positions can take.
func (b *buyer) room() (total int) {
	for _, n := range b.p.Needs {
		total += n.AtMost
	}
	return total
}

// fixed returns the largest |error| of the ranges that depend on no slot, 0 if
// there is none.
func (b *buyer) fixed() float64 {
	b.Reset()
	b.Respond()
	worst := 0.0
	for r, slots := range b.SlotsOf {
		if len(slots) == 0 {
			worst = max(worst, math.Abs(b.Errors[r]))
		}
	}
	return worst
}

// run asks for one number of pieces after the other.
func (b *buyer) run(plan match.Plan) (Bought, error) {
	out := Bought{Plan: plan}
	if b.fixed() > b.class+match.Equal {
		out.Proven = true // no position can help
		return out, nil
	}
	ask := b.separately
	if !b.Separate() {
		ask = b.coupled
		if !b.narrow() {
			out.Proven = true // some range cannot come within the class whatever the values
			return out, nil
		}
	}
	k := 0
	if plan.Proven || !slices.Contains(plan.Filled, false) && plan.Bound > b.class+match.Equal {
		k, out.Proven = 1, true
	}
	for ; k <= b.most && b.ctx.Err() == nil; k++ {
		nets, refuted, err := ask(k)
		if err != nil {
			return Bought{}, fmt.Errorf("what to buy: %w", err)
		}
		if nets != nil {
			return b.finish(nets, out.Proven || k == 0)
		}
		out.Proven = refuted // which refutes fewer pieces too
	}
	out.Proven = out.Proven && k > b.most
	return out, nil
}

// pieces returns how many parts of a network are to be bought.
func (b *buyer) pieces(n network.Network) int {
	count := 0
	for _, p := range n.Set() {
		if int(p) >= b.scarce {
			count++
		}
	}
	return count
}

// query asks for networks of a slot with at least so many parts and with least
// to most pieces, and of several that differ only in which of equal parts or
// copies they take, for one: that which takes neighbours among equal parts, as
// positions can be dealt them anew without a change.
func (b *buyer) query(slot, fewest, least, most int) match.Query {
	only, room := make([]int, 0, len(b.parts)), b.room()
	for i := range b.parts {
		if i < b.scarce && b.rank[i] < room || i >= b.scarce && b.copyOf(int32(i)) < most {
			only = append(only, i)
		}
	}
	return match.Query{Need: b.p.Needs[slot], Fewest: fewest, Only: only, Wanted: func(n network.Network) bool {
		count := b.pieces(n)
		return count >= least && count <= most && b.neighbours(n)
	}}
}

// copyOf returns which of the copies of its value a part is, the first being 0.
func (b *buyer) copyOf(part int32) int { return (int(part) - b.scarce) % b.copies }

// neighbours reports whether a network takes neighbours of any equal parts of
// the stock, and the first copies of a value.
func (b *buyer) neighbours(n network.Network) bool {
	set := n.Set()
	for k, p := range set[:n.Size()] {
		if int(p) >= b.scarce {
			if b.copyOf(p) > 0 && (k == 0 || set[k-1] != p-1) {
				return false
			}
			continue
		}
		if before := b.before[p]; before >= 0 && !slices.Contains(set[:k], before) && b.hasEqual(set[:k], p) {
			return false
		}
	}
	return true
}

func (b *buyer) hasEqual(parts []int32, p int32) bool {
	return slices.ContainsFunc(parts, func(q int32) bool { return b.parts[q] == b.parts[p] })
}
