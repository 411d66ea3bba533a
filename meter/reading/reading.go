// Package reading tells from calibration readings whether a meter reads true,
// and if not, what is to blame.
//
// Judge holds every reading against the accuracy class, with the limits of both
// instruments in the balance; it needs no resistances. Diagnose looks for the
// cause: it fits every part of the meter, the movement, the zero and friction
// to the readings, each with a free amount, and says which of them explain what
// was read, which of those nothing read so far can tell apart, and where to
// read next.
//
// What is applied to a range and what its pointer shows are in SI units of the
// range, amperes or volts; what says percent is percent of the fiducial value,
// which is full scale as the zero stands at the end of the scale (IEC 60051-2).
package reading

// Direction is the way the pointer came to a reading.
type Direction int

// The directions. Either is a reading of which nobody said.
const (
	Either Direction = iota
	Up
	Down
)

// String is the direction as people write it; of Either it is empty.
func (d Direction) String() string {
	switch d {
	case Up:
		return "up"
	case Down:
		return "down"
	}
	return ""
}

// Reading is one point of a calibration: a reference applied, and the pointer read.
type Reading struct {
	Range          int     // index into Meter.Ranges
	Reference      float64 // what was really applied, zero or more
	ReferenceLimit float64 // half-width within which Reference is trusted; zero: it is taken as exact
	Indicated      float64 // what the pointer showed
	IndicatedLimit float64 // half-width within which Indicated is trusted; positive
	Direction      Direction
}

// Verdict is whether an instrument is within its class.
type Verdict int

// The verdicts. NoVerdict is that of an instrument without a class, or without
// readings.
const (
	NoVerdict Verdict = iota
	Pass
	Fail
	Undecided // the limits reach across the class
)

func (v Verdict) String() string {
	switch v {
	case Pass:
		return "pass"
	case Fail:
		return "fail"
	case Undecided:
		return "undecided"
	}
	return ""
}

// Worse is the verdict of two together: one that fails makes both fail, and one
// that is undecided leaves both undecided.
func (v Verdict) Worse(w Verdict) Verdict {
	for _, each := range []Verdict{Fail, Undecided, Pass} {
		if v == each || w == each {
			return each
		}
	}
	return NoVerdict
}
