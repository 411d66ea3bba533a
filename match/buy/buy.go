// Package buy finds pieces of given values which, added to a stock, let every
// position be filled and every range come within a class. It asks package solve
// whether a set of pieces does; what it knows itself is which sets to ask about.
package buy

import (
	"context"
	"fmt"
	"math"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/solve"
)

// Offer is what can be bought.
type Offer struct {
	Values []float64 // positive and finite; each is to be had as often as wanted
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
	Proven bool // no fewer pieces do; where nothing was found, that nothing does
}

// Fewest names the fewest pieces of at most so many different values that let
// every position be filled with every |error| at most class (percent). Of sets of
// as many pieces the one of fewer values comes first, then the one whose plan
// comes first in the order of match.Key, as far as they were looked at.
// match.Problem.Limit is not read, since nobody knows yet how far a piece will be
// off: pieces have their values exactly, bear what the offer says, and all goes by
// errors alone. Of Enough at most the class matters.
//
// Positions that may take fewer parts, and fewer values, are asked about first, so
// that what does for these is found for more. The search is exact only as far as
// Proven says.
//
// An error means that it cannot be asked: values must be positive and finite
// (1e-100 to 1e100) and at least one, most at least 1, class positive and
// finite. A context that ends is none: Proven is then false.
func Fewest(ctx context.Context, s *enumerate.Stock, p match.Problem, offer Offer, most int, class float64) (Bought, error) {
	if err := checkBuy(offer.Values, most, class); err != nil {
		return Bought{}, fmt.Errorf("what to buy: %w", err)
	}
	if err := p.Validate(); err != nil {
		return Bought{}, fmt.Errorf("what to buy: %w", err)
	}
	b, err := newBuyer(ctx, s, p, offer, most, class)
	if err != nil {
		return Bought{}, fmt.Errorf("what to buy: %w", err)
	}
	out, err := b.run()
	if err != nil {
		return Bought{}, fmt.Errorf("what to buy: %w", err)
	}
	return out, nil
}

func checkBuy(values []float64, most int, class float64) error {
	switch {
	case len(values) == 0:
		return fmt.Errorf("no values to choose from")
	case most < 1:
		return fmt.Errorf("at most %d values: it must be at least 1", most)
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

// shares of the time that is left: what the drawer alone does, and what fewer
// parts a position do.
const (
	forDrawer = 0.25
	forFewer  = 0.4
)

// usualParts is how many parts a position are asked about first where more are
// allowed.
const usualParts = 2

// run asks about the stock alone, about positions of few parts, and about all.
func (b *buyer) run() (Bought, error) {
	alone, known, err := b.ask(asking{b.ctx, b.p.Needs, false, forDrawer}, nil)
	if err != nil {
		return Bought{}, err
	}
	if known == does {
		return b.settle(candidate{nets: alone.Networks})
	}
	b.alone = alone
	out := Bought{Plan: alone}
	if b.ctx.Err() != nil {
		return out, nil
	}
	if b.hopeless() {
		out.Proven = true
		return out, nil
	}
	best, err := b.inSteps()
	if err != nil {
		return Bought{}, err
	}
	if best != nil {
		best, proven, err := b.proven(*best, known == doesNot)
		if err != nil {
			return Bought{}, err
		}
		out, err := b.settle(best)
		out.Proven = proven
		return out, err
	}
	out.Proven = b.refuted
	return out, nil
}

// inSteps looks for pieces with few parts a position first, which takes less, and
// then with as many as are allowed.
func (b *buyer) inSteps() (best *candidate, err error) {
	most := 0
	for _, n := range b.p.Needs {
		most = max(most, n.AtMost)
	}
	b.shelf = newShelf(b.parts)
	for parts := usualParts; parts < most && err == nil; parts++ {
		ctx, stop := b.p.ShareOf(b.ctx, forFewer)
		best, err = b.look(ctx, b.wide.upTo(parts), best)
		stop()
	}
	if err != nil {
		return nil, err
	}
	return b.look(b.ctx, b.wide, best)
}

// settle makes the answer of a set that does: the best plan with it, or the one
// known if there is no time for that.
func (b *buyer) settle(c candidate) (Bought, error) {
	out := Bought{Values: b.valuesOf(c.set), Found: true, Proven: true}
	s, err := b.stockWith(c.set)
	if err != nil {
		return Bought{}, err
	}
	if b.ctx.Err() == nil {
		if out.Plan, err = solve.Plan(b.ctx, s, b.asked); err != nil || within(out.Plan, b.class) {
			return out, err
		}
	}
	out.Plan, err = solve.Judge(s, b.asked, c.nets)
	if b.ctx.Err() != nil {
		out.Plan.End = match.Interrupted
	}
	return out, err
}
