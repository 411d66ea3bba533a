package asbuilt

import (
	"math"

	"shuntwright/meter"
	"shuntwright/meter/budget"
)

// Verdict holds the error of a range against the class, in percent, with the
// limit as guard band on both sides (JCGM 106, ILAC-G8): "pass", "fail" or
// "undecided". Empty where the class is NaN or the range is not whole.
func Verdict(p meter.RangePrediction, limit budget.Result, class float64) string {
	size := math.Abs(p.ErrorPercent)
	switch {
	case math.IsNaN(class) || !p.Whole():
		return ""
	case size-limit.Limit > class:
		return "fail"
	case size+limit.Limit <= class:
		return "pass"
	}
	return "undecided"
}
