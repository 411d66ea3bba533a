package reading

import (
	"math"

	"shuntwright/meter"
)

// Case is what a diagnosis goes by.
type Case struct {
	Meter    *meter.Meter
	State    meter.State // what should be there; a range that is not whole (NaN) takes no part
	Readings []Reading
	// Doubts are the independent sources by which the figures of the meter file
	// may move each range: [source][range], half-widths of rectangular
	// distributions in percent of full scale with full scale applied. The signs
	// of one source matter among its ranges.
	Doubts    [][]float64
	Left      []RangeJudgement // as ranges were read when they were left in order; what these have moved since is what is looked for
	Divisions float64          // of the scale; NaN: not known
	Verdict   Verdict          // of Judge
	Foretold  bool             // all that fails does so by State too: where the readings agree with that within Doubts, nothing else is looked for
}

// Diagnosis is what the readings say about the cause.
type Diagnosis struct {
	Wrong          bool            // false: nothing is wrong, as far as the readings tell, and there are no explanations
	AsPredicted    bool            // the verdict is not pass, yet the readings agree with the state: the figures of the file are what is off
	Explanations   []Explanation   // best first: single causes; where none explains the readings, pairs or more that do and behind them what single causes come nearest
	Suspect        *Explanation    // undecided and nothing wrong: the likeliest single cause, were it more than what the figures of the file may be off; nil: none
	Contradictions []Contradiction // pairs of readings that no cause and no two causes give both
	Next           *Further        // nil: nothing is left to separate, or no reading of the ranges separates it
	Notes          []string        // what cannot be told, and what would tell it
}

// Kind is what sort of thing a cause is.
type Kind int

// The kinds of causes.
const (
	Resistance Kind = iota + 1 // a resistor of the meter is not what it should be
	FullScale                  // the movement takes another current for the last mark
	Zero                       // the pointer does not rest on zero: all readings of all ranges are shifted alike
	Friction                   // the pointer stays behind: readings are low on the way up and high on the way down
)

// Cause is one thing that may be wrong.
type Cause struct {
	Kind     Kind
	Resistor int    // index into Meter.Resistors where Kind is Resistance, else -1
	Name     string // of a position, or "coil", "full-scale current", "swamp", "zero", "friction", "contact of …"
}

// Amount is how large a cause is: ohms of a resistance, amperes of the
// full-scale current, and for zero and friction divisions, or percent of full
// scale where the scale's divisions are not known.
type Amount struct {
	Cause   Cause
	Implied float64 // what the readings imply; +Inf: a break
	From    float64 // what should be there
	Limit   float64 // 95 % limit of Implied, 1.96 standard deviations; NaN: the readings bound it on one side only, or not at all
	// SameAs are the names of the other causes that nothing read so far can
	// tell from this one: in its place they explain the readings as well, the
	// other causes of the explanation staying, by amounts of their own.
	SameAs []string
}

// Explanation is one cause, or several together, fitted to the readings.
type Explanation struct {
	Amounts   []Amount // one or more; of several, those of resistors in the meter's order first
	ChiSquare float64  // weighted sum of squares that is left
	Score     float64  // share of the sum of squares that it explains, 0 to 1
	Explains  bool     // what is left is no more than the limits of the readings allow
	// Unexplained are the ranges, by index, whose readings no causes explain:
	// all other readings agree with this explanation, which was fitted to them
	// alone. Explains is false then. It is empty where Explains is true, and
	// for what merely comes nearest.
	Unexplained []int

	// State, ZeroFraction and FrictionFraction, both fractions of full scale,
	// are the meter with the cause in it.
	State                          meter.State
	ZeroFraction, FrictionFraction float64
}

// Sound reports whether the causes are found, if only for the ranges that are
// not Unexplained; else the explanation merely comes near.
func (e Explanation) Sound() bool { return e.Explains || len(e.Unexplained) > 0 }

// Indicated is what the pointer shows on range r with the cause in place and so
// much of the range's unit applied; NaN on a range that is not whole. It may be
// below zero or above full scale, where a pointer would stand at its stop.
func (e Explanation) Indicated(m *meter.Meter, r int, reference float64, d Direction) float64 {
	errors := make([]float64, len(m.Ranges()))
	m.Errors(errors, e.State)
	return reference*(1+errors[r]/100) + (e.ZeroFraction+drag(d, reference)*e.FrictionFraction)*m.Ranges()[r].FullScale
}

// drag is the sign of what friction adds to a reading. A pointer that nothing
// was applied to yet has come no way: one that stands at zero on the way up
// starts from rest.
func drag(d Direction, reference float64) float64 {
	switch {
	case d == Up && reference > 0:
		return -1
	case d == Down:
		return 1
	}
	return 0
}

// Contradiction is two readings, by index, that no cause and no two causes give
// both.
type Contradiction struct{ First, Second int }

// Further is the one further reading that separates best what is left.
type Further struct {
	Range     int
	Reference float64      // in the range's unit, such that the pointer stays on the scale whichever explanation is right
	Predicted []Prediction // one for each explanation in question
	Alike     float64      // in the range's unit: predictions no further apart look the same
}

// Prediction is what the pointer would show.
type Prediction struct {
	Explanation int // index into Diagnosis.Explanations
	Indicated   float64
}

var nan = math.NaN()
