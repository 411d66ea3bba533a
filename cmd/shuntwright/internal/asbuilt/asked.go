package asbuilt

import (
	"math"

	"shuntwright/match"
)

// Asked is what the flags ask, of a search as of a judgement. The zero value
// asks for nothing that can be found: each field says what it must be.
type Asked struct {
	Wanted
	AtMost         int     // parts in one place, 1 to 4
	Within         float64 // how far off a network is looked at, as a fraction of its target, above 0
	Reach          bool    // in a ring or chain the nearest network is looked at where none is within
	Derate         float64 // the share of its rated watts that a part may carry, above 0 and up to 1
	Class          float64 // percent; NaN: none
	Resolution     float64 // what counts as one step, in percent of full scale; 0: exact
	Enough         float64 // percent within which an error counts as none; 0: not given
	EnoughMeasured bool    // what measurements cannot tell counts as none
	Sure           bool    // error and limit together count, not the error alone
	Trim           bool    // what is fitted stays, and as few parts as can be are added; needs a class
	Simple         bool    // readings are judged by the error alone, whatever its limit
	Top            int     // rows or causes to be named, at least 1
}

// GivesEnough tells whether errors within something count as none.
func (a Asked) GivesEnough() bool { return a.EnoughMeasured || a.Enough > 0 }

// SearchClass is the class that plans are ordered by: the meter's, or the
// largest of IEC 60051.
func (a Asked) SearchClass() float64 {
	if math.IsNaN(a.Class) {
		return match.DefaultClass
	}
	return a.Class
}
