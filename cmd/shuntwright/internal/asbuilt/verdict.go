package asbuilt

import (
	"math"

	"shuntwright/meter"
	"shuntwright/meter/budget"
)

// Verdict is what Decide says of the error of a range against the class, in
// percent; empty where the class is NaN or the range is not whole.
func Verdict(p meter.RangePrediction, limit budget.Result, class float64) string {
	if math.IsNaN(class) || !p.Whole() {
		return ""
	}
	return Decide(p.ErrorPercent, limit.Limit, class)
}

// Decide holds an error against the most that is allowed, with its limit as guard
// band on both sides (JCGM 106, ILAC-G8): "pass", "fail" or "undecided".
func Decide(err, limit, most float64) string {
	size := math.Abs(err)
	switch {
	case size-limit > most:
		return "fail"
	case size+limit <= most:
		return "pass"
	}
	return "undecided"
}
