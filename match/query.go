package match

import (
	"fmt"
	"math"
	"math/big"

	"shuntwright/match/network"
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
	// Resolution, a fraction of the target, is a step: networks that are as many
	// whole steps off count as equally good and go by fewer parts, then by |error|
	// (plus limit). Not negative; with 0 that alone decides.
	Resolution float64
	// Enough, a fraction of the target, not negative, is so little |error| (plus
	// limit) that it counts as no step.
	Enough float64
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
	// Choices are the best networks, best first; fewer than Top if there are no
	// more.
	Choices []Choice
	// Considered is how many networks the answer covers, enumerated or not:
	// network.Count of the stock, those outside of the window included.
	Considered *big.Int
	// Proven is true if no better network exists, and false if the context
	// ended before that was known; Choices are then the best seen so far.
	Proven bool
}

// Validate tells what is wrong with the query.
func (q Query) Validate() error {
	switch {
	case q.Top < 1 || q.Top > MaxTop:
		return fmt.Errorf("best %d networks: it must be 1 to %d", q.Top, MaxTop)
	case q.Fewest < 0:
		return fmt.Errorf("at least %d parts a network: it must not be negative", q.Fewest)
	case !(q.Resolution >= 0) || math.IsInf(q.Resolution, 1):
		return fmt.Errorf("resolution %v: it must be finite and not negative", q.Resolution)
	case !(q.Enough >= 0):
		return fmt.Errorf("enough is %v: it must not be negative", q.Enough)
	case q.Limit != nil && !(q.LimitFloor >= 0):
		return fmt.Errorf("limit floor %v: it must not be negative", q.LimitFloor)
	}
	return q.Need.Validate()
}

// Steps returns how many whole steps make so much |error| (plus limit), as a
// fraction of the target; what is a multiple of the resolution but for one part
// in 10^9 counts as that. Beyond Enough, without a Resolution, it is +Inf.
func (q Query) Steps(cost float64) float64 {
	if cost <= q.Enough {
		return 0
	}
	return math.Floor(cost / q.Resolution * (1 + 1e-9))
}
