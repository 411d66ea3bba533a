package meter

import (
	"fmt"

	"shuntwright/meter/quantity"
)

// Circuit is one way to make ranges out of the movement. A kind of circuit is
// one file of this package: it says which resistors it has, how each range
// wires them, and what its positions must be; everything else, of every
// command, follows from that and its Kind.
type Circuit interface {
	// Kind is the circuit's word in files and in the names of its positions.
	Kind() string
	// Ranges lists the settings of the switch in the meter's order.
	Ranges() []Range
	// Resistors lists the circuit's own resistors, the positions among them in
	// the meter's order.
	Resistors() []Resistor
	// Path says where the resistors sit on range r, by their index in Resistors.
	Path(r int) Path
	// Targets gives the ohms that each position must have, all others on their
	// targets, for every range to read true. The error is a *CannotServe where
	// the movement cannot serve a range.
	Targets(mv Movement) ([]float64, error)
}

// Path is how one range divides what is applied to it: Lead carries all of the
// current; behind it Branch, in series with the movement, carries the
// movement's part, and Across, which lies across branch and movement, carries
// the rest. Each list is a series connection, in the order in which the current
// from the terminal + meets it. An empty Across is no connection, an empty Lead
// or Branch a wire.
type Path struct{ Lead, Across, Branch []int }

// Use tells what a resistor is for.
type Use int

// The uses of a resistor.
const (
	Coil    Use = iota + 1 // the movement's copper
	Swamp                  // a swamping resistor, of the movement or of a ring
	Fitted                 // a position: a network of parts fills it
	Given                  // a resistor that the meter file states, such as the shunt in a lead
	Contact                // contact resistance of switch and leads
)

// Resistor is one resistance of a meter.
type Resistor struct {
	Name string
	Use  Use
	Ohms float64 // NaN for a position, whose ohms come with what is fitted
	Key  string  // which network of the circuit fills a position: empty where the circuit has only one

	Field string // which field of the meter file states it: "swamp", "contact"; empty for a position and the coil
}

// CannotServe is the error of a range that the movement cannot serve.
type CannotServe struct {
	Range string // its whole text
	Why   string
}

func (e *CannotServe) Error() string { return fmt.Sprintf("range %q: %s", e.Range, e.Why) }

// tooSmall is the refusal of a current range at or below the movement's own
// full scale.
func tooSmall(r Range, mv Movement, what string) error {
	return &CannotServe{r.Name, fmt.Sprintf("the movement alone takes %s for its last mark, so %s cannot make this range; it must be larger",
		quantity.Format(mv.FullScaleAmperes, quantity.Ampere, 4), what)}
}

// tooHigh is the refusal of a position that would have to be zero or negative
// because the movement is too much already.
func tooHigh(r Range, position string, ohms float64) *CannotServe {
	return &CannotServe{r.Name, fmt.Sprintf("%q would have to be %.6g ohm; the movement and what stays with it leave nothing for it", position, ohms)}
}
