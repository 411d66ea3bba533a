package coupled

// plan is a choice that has been looked at as a whole.
type plan struct {
	chosen []int32 // a candidate a slot, or open
	errors []float64
	limits []float64 // nil where they do not count
	costs  []float64 // magnitudes of the errors of the whole ranges, with their limits, the largest first
	parts  int
}
