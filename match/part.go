package match

import "fmt"

// Values must lie from Smallest to Largest, so that no sum, product or
// reciprocal of four of them leaves the range of float64.
const (
	Smallest = 1e-100
	Largest  = 1e100
)

// Part is one part of the stock.
type Part struct {
	Value float64 // positive and finite, 1e-100 to 1e100
	Bears float64 // largest flow through it, positive; +Inf where unlimited
}

// Validate tells what is wrong with the part.
func (p Part) Validate() error {
	switch {
	case !inRange(p.Value):
		return fmt.Errorf("has value %v; it must be positive and finite (%v to %v)", p.Value, Smallest, Largest)
	case !(p.Bears > 0):
		return fmt.Errorf("bears %v; it must be positive, +Inf where nothing is known", p.Bears)
	}
	return nil
}

func inRange(v float64) bool { return v >= Smallest && v <= Largest }
