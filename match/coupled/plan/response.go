package plan

import "shuntwright/match/coupled/trait"

// Response tells how far every range is off for given values of the slots; see package coupled.
type Response interface {
	Errors(dst, ohms []float64)
	Rising(r, s int) int
}

// Single tells the error of one range alone; see package coupled.
type Single interface {
	ErrorOf(r int, ohms []float64) float64
}

// Limits tells within what every range is trusted; see package coupled.
type Limits interface {
	Limits(dst []float64, chosen []int)
	Floor(r int, box *trait.Box) float64
}
