package match

import (
	"fmt"
	"math"

	"shuntwright/match/network"
)

// Overdrive is how far a range may read high, in percent, with full scale applied:
// 1.2 times full scale is what a meter bears for hours (IEC 60051-1, from memory).
const Overdrive = 20

// Need is what one position asks of a network.
type Need struct {
	// Target is the value wanted, positive and finite.
	Target float64
	// Within is the largest distance from the target, as a fraction of it, that
	// is considered; positive, +Inf for no limit.
	Within float64
	// Reach lets the slot take the nearest network that there is, however far,
	// where none lies within: a slot that shares ranges with others, so that
	// these can be whole; but not one by which a range reads more than Overdrive
	// high, nor where all ranges of the slot that are whole stay further off than
	// Within of full scale. It is not read where each range has slots of its own.
	Reach bool
	// AtMost is the largest number of parts, 1 to 4; the kept value does not count.
	AtMost int
	// Keep is a value that stays in place, every network being built round it
	// and itself alone being one; NaN where nothing stays.
	Keep float64
	// KeepBears is the largest flow through the kept value; +Inf where
	// unlimited. It is not read where Keep is NaN.
	KeepBears float64
	// Flow is the largest flow through the network, and Drop the largest drop
	// across it, that it must bear; NaN where it is not held against that.
	Flow, Drop float64
}

// Keeps reports whether a value stays in place.
func (n Need) Keeps() bool { return !math.IsNaN(n.Keep) }

// Span returns the least and the greatest value that a network may have, by the
// window and by the least and the greatest value of the parts.
func (n Need) Span(least, most float64) (lo, hi float64) {
	if n.Keeps() {
		least, most = min(least, n.Keep), max(most, n.Keep)
	}
	return max(n.Target*(1-n.Within), least/(network.MaxParts+1)), min(n.Target*(1+n.Within), most*(network.MaxParts+1))
}

// Between returns the need with its window put from lo to hi, both positive,
// and its target in the middle.
func (n Need) Between(lo, hi float64) Need {
	n.Target = lo + (hi-lo)/2
	n.Within = (hi-lo)/2/n.Target + 1e-12
	return n
}

// Validate tells what is wrong with the need.
func (n Need) Validate() error {
	switch {
	case !inRange(n.Target):
		return fmt.Errorf("target %v: it must be positive and finite (%v to %v)", n.Target, Smallest, Largest)
	case !(n.Within > 0):
		return fmt.Errorf("window %v of the target: it must be positive", n.Within)
	case n.AtMost < 1 || n.AtMost > network.MaxParts:
		return fmt.Errorf("at most %d parts a network: it must be 1 to %d", n.AtMost, network.MaxParts)
	case n.Keeps() && !inRange(n.Keep):
		return fmt.Errorf("kept value %v: it must be positive and finite (%v to %v)", n.Keep, Smallest, Largest)
	case n.Keeps() && !(n.KeepBears > 0):
		return fmt.Errorf("kept value bears %v: it must be positive, +Inf where nothing is known", n.KeepBears)
	case n.Flow < 0 || math.IsInf(n.Flow, 0):
		return fmt.Errorf("flow %v: it must be finite and not negative", n.Flow)
	case n.Drop < 0 || math.IsInf(n.Drop, 0):
		return fmt.Errorf("drop %v: it must be finite and not negative", n.Drop)
	}
	return nil
}
