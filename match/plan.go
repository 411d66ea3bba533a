// Package match says in numbers what is asked of the search for networks of
// parts, and what it answers: the best networks for a single target, and one for
// each of several positions at once so that no part is used twice. A part has a
// value, and networks add values in series and reciprocals in parallel; what the
// numbers mean is the caller's. Package enumerate answers for a single target,
// package solve for all positions.
package match

import (
	"context"
	"fmt"
	"math"
	"math/big"
	"slices"

	"shuntwright/match/network"
)

// Rounding is what rounding may add to an error of up to 100 %, in percentage
// points, at the corner of a box where by its monotony it is extreme: a box is
// given up only where its bound is beyond a level by more. Errors are a few sums
// and one quotient away from the values, about 1e-13 points.
const Rounding = 5e-12

// Response tells how far every range is off for given values of the slots, one
// slot a position. It must not change between calls. One that is a Single too is
// asked range by range, which may be much quicker.
type Response interface {
	// Errors puts the signed error of every range, in percent of full scale,
	// into dst. ohms[i] belongs to slot i. Each error is monotone in
	// each value, but for Rounding.
	Errors(dst, ohms []float64)
	// Rising reports how range r moves when slot s grows: +1, -1, or 0 where it
	// does not depend on it.
	Rising(r, s int) int
}

// Single tells the error of one range alone.
type Single interface {
	// ErrorOf returns the very number that Errors puts into dst[r].
	ErrorOf(r int, ohms []float64) float64
}

// Problem asks for one network a position, no part used twice.
type Problem struct {
	// Needs is what each position asks of its network, in the order of the slots.
	Needs []Need
	// Ranges is how many ranges Response knows.
	Ranges   int
	Response Response
	// Class, Resolution and Enough are percentages of full scale, finite and
	// not negative; they say what plans are ordered by, see Order. Class 0
	// stands for DefaultClass; with Resolution 0 it is not used. A resolution
	// must not be above the class.
	Class, Resolution, Enough float64
	// Limit, if not nil, puts the half-width, in percent and not negative, within
	// which every range is trusted into dst, for the networks of all slots (the
	// zero Network for one that is open; ranges that depend on it are not read).
	// Plans then go by |error| plus limit of each range instead of |error|. The
	// limit of a range must depend on the networks of the slots alone that the
	// range depends on.
	Limit func(nets []network.Network, dst []float64)
	// LimitFloor, if not nil, bounds Limit, for coupled positions; it is not read
	// where Limit is nil.
	LimitFloor LimitFloor
	// Share leaves a part of the search a share, 0 to 1, of the time that there is;
	// nil: each may take all of it.
	Share func(ctx context.Context, share float64) (context.Context, context.CancelFunc)
	// Progress, if not nil, is told how far the search has come, on the
	// goroutine of Plan.
	Progress func(Progress)
}

// ShareOf is what Share leaves a part of the search.
func (p Problem) ShareOf(ctx context.Context, share float64) (context.Context, context.CancelFunc) {
	if p.Share == nil {
		return ctx, func() {}
	}
	return p.Share(ctx, share)
}

// LimitFloor bounds Problem.Limit from below over many choices at once: without
// that a search of coupled positions could say of no plan that it is the surest
// before it has looked at all that have smaller errors.
type LimitFloor interface {
	// Attributes appends numbers to dst on which limits depend, beside the
	// value, if network n is in a slot: finite, and as many of them for every
	// network.
	Attributes(dst []float64, slot int, n network.Network) []float64
	// Floor returns a number in percent, not negative, that the limit of range r
	// is not below for any choice from the box, but by one part in 10^12 for
	// rounding; 0 where nothing is known. The tighter it is where the box is
	// small, the sooner a plan is proven.
	Floor(r int, box *Box) float64
}

// Progress tells how far a search has come.
type Progress struct {
	Filled int     // positions filled in the best plan so far
	Worst  float64 // percent, as in Plan; NaN while there is none
	Bound  float64 // percent, as in Plan, for the networks looked at so far
	Key    Key     // where the best plan so far stands in the order
}

// Ending says how a search ended.
type Ending int

// The endings.
const (
	Exact       Ending = iota + 1 // no plan comes before this one in the whole order
	WorstProven                   // no plan has a smaller worst error; what comes after it in the order is not proven
	Interrupted                   // the context ended: the best plan so far
	Narrowed                      // the search contented itself with the networks nearest to the targets, or with a small gap
)

// String says it in words.
func (e Ending) String() string {
	switch e {
	case Exact:
		return "exact"
	case WorstProven:
		return "worst error proven"
	case Interrupted:
		return "interrupted"
	case Narrowed:
		return "narrowed"
	}
	return fmt.Sprintf("Ending(%d)", int(e))
}

// Plan is one network a position, no part used twice.
type Plan struct {
	Networks []network.Network // the zero Network where a position is open
	Filled   []bool
	Errors   []float64 // signed, percent; NaN for a range that is not whole: one of its positions is open
	Key      Key       // where the plan stands in the order
	// Worst is the largest |error| (plus limit, where Problem.Limit is given)
	// of all whole ranges, in percent; NaN if there is none.
	Worst float64
	// Bound is proven: no plan that fills as many positions has a smaller Worst. In
	// an order with a resolution that is meant of the plans that come as early in
	// it, and Bound is Worst where Proven is true. NaN if no range is whole.
	Bound  float64
	Proven bool // nothing comes before the plan in the order; with Resolution 0 about Filled and Worst, see End for the order below
	// Considered is how many networks the plan chooses from, summed over the
	// positions: for each all networks of at most Need.AtMost parts of the whole
	// stock (Count), those outside of Within or beyond their ratings included,
	// and not how many choices they make together.
	Considered *big.Int
	End        Ending
}

// Parts returns how many parts the plan uses.
func (p Plan) Parts() int {
	total := 0
	for _, n := range p.Networks {
		total += n.Size()
	}
	return total
}

// FirstWith reports whether the plan is proven to be the first with at most so many
// parts a position too: it fills all, and none with more.
func (p Plan) FirstWith(parts int) bool {
	return p.End == Exact && !slices.Contains(p.Filled, false) && !slices.ContainsFunc(p.Networks, func(n network.Network) bool { return n.Size() > parts })
}

// Validate tells what is wrong with the problem.
func (p Problem) Validate() error {
	switch {
	case p.Ranges < 0:
		return fmt.Errorf("%d ranges: it must not be negative", p.Ranges)
	case p.Ranges > 0 && p.Response == nil:
		return fmt.Errorf("%d ranges and no response", p.Ranges)
	}
	for _, of := range []struct {
		what    string
		percent float64
	}{{"enough", p.Enough}, {"the class", p.Class}, {"the resolution", p.Resolution}} {
		if !(of.percent >= 0) || math.IsInf(of.percent, 0) {
			return fmt.Errorf("%s is %v %%: it must be finite and not negative", of.what, of.percent)
		}
	}
	if class := p.Order().Class; p.Resolution > class {
		return fmt.Errorf("the resolution is %v %% and the class %v %%: steps must not be larger than the class", p.Resolution, class)
	}
	for i, n := range p.Needs {
		if err := n.Validate(); err != nil {
			return fmt.Errorf("position %d: %w", i+1, err)
		}
	}
	return nil
}
