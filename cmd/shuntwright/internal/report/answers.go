package report

import "math"

// Maybe is a number that may not apply: nil leaves its field out of the JSON.
type Maybe = *float64

// Some makes a Maybe of x: nil for NaN and infinities, which JSON cannot hold.
func Some(x float64) Maybe {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// Number is what a Maybe holds, NaN where it does not apply.
func Number(x Maybe) float64 {
	if x == nil {
		return math.NaN()
	}
	return *x
}
