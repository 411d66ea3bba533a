package node

import "shuntwright/match"

// Limits tells within what every range is trusted.
type Limits interface {
	Limits(dst []float64, chosen []int)
	Floor(r int, box *match.Box) float64
}
