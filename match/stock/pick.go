package stock

import (
	"context"
	"fmt"
	"math/big"

	"shuntwright/match/network"
	"shuntwright/match/rank"
	"shuntwright/match/walk"
)

// MaxTop is how many networks can be asked for at once; it keeps what a search
// holds in memory well under 1 GiB.
const MaxTop = 1 << 18

// Query asks for the best networks for one target.
type Query struct {
	Need
	// Top is how many are wanted, 1 to MaxTop.
	Top int
	// Limit, if not nil, returns the half-width within which a network's value
	// is trusted, in the value's unit, finite and not negative. Networks are
	// then ranked by |error| plus limit instead of |error|.
	Limit func(network.Network) float64
	// LimitFloor is a fraction of the target that no Limit falls below. The
	// search is as exact with 0, only slower. It is not read without Limit.
	LimitFloor float64
	// Fewest is the least number of parts a network, not negative. With 0 the
	// kept value alone is one too.
	Fewest int
	// Only, if not nil, are the indexes of the parts that may be used.
	Only []int
	// Wanted, if not nil, tells which networks count at all.
	Wanted func(network.Network) bool
}

// Picked answers a Query.
type Picked struct {
	// Choices are the best networks, best first; fewer than Top if there are no more.
	Choices []Choice
	// Considered is how many networks the answer covers, enumerated or not:
	// network.Count of the stock, those outside of the window included.
	Considered *big.Int
	// Proven is true if no better network exists, and false if the context
	// ended before that was known; Choices are then the best seen so far.
	Proven bool
}

// Choice is one network of an answer, with its Error (value - target) / target
// as a fraction. See package rank.
type Choice = rank.Choice

// Pick returns the best networks for a target: smallest |error| (plus limit)
// first; where those differ by less than 1e-11 of the target, fewer parts
// first, then the parts' order in the drawer. Differences are counted from the
// smallest one of a group, so that the order has no cycles.
//
// An error means that the query cannot be asked; a context that ends is none.
func (s *Stock) Pick(ctx context.Context, q Query) (Picked, error) {
	if err := q.validate(); err != nil {
		return Picked{}, fmt.Errorf("pick: %w", err)
	}
	order, err := s.only(q.Only)
	if err != nil {
		return Picked{}, fmt.Errorf("pick: %w", err)
	}
	if q.Limit == nil && q.Wanted == nil {
		// One of m equal parts used beyond the first Top+m-1 of them can be
		// replaced by Top unused earlier ones, each making a network that comes
		// before; so the later ones are never wanted.
		order = s.firsts(order, min(q.Top, len(order))+q.AtMost-1)
	}
	return s.pick(ctx, q, order), nil
}

func (q Query) validate() error {
	switch {
	case q.Top < 1 || q.Top > MaxTop:
		return fmt.Errorf("best %d networks: it must be 1 to %d", q.Top, MaxTop)
	case q.Fewest < 0:
		return fmt.Errorf("at least %d parts a network: it must not be negative", q.Fewest)
	case q.Limit != nil && !(q.LimitFloor >= 0):
		return fmt.Errorf("limit floor %v: it must not be negative", q.LimitFloor)
	}
	return q.Need.Validate()
}

// pick answers a valid query from parts that are ascending by value.
func (s *Stock) pick(ctx context.Context, q Query, order []int32) Picked {
	best := rank.New(rank.Rule{Target: q.Target, Within: q.Within, Top: q.Top, Limit: q.Limit, LimitFloor: q.LimitFloor, Wanted: q.Wanted})
	err := walk.Walk(ctx, s.request(q.Need, order, q.Fewest), best)
	return Picked{Choices: best.Choices(), Considered: network.Count(s.Len(), q.AtMost, q.Keeps()), Proven: err == nil}
}
