package budget

import "math"

// Floor returns what the Limit of Combine is at least if the half-width of
// source i lies anywhere from least[i] to most[i], none of them negative. The
// smaller coverage factor counts as soon as one source may dominate. Where both
// ends are the same it is the limit, but for rounding.
func Floor(least, most []float64) float64 {
	square, dominant := 0.0, 0.0
	for i, low := range least {
		square += low * low
		dominant = max(dominant, low*low+dominance*dominance*most[i]*most[i])
	}
	factor := normalFactor
	if square <= dominant*(1+rounding) {
		factor = rectangularFactor
	}
	return factor * math.Sqrt(square/3)
}
