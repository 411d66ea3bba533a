package matchtest

import (
	"cmp"
	"math"
	"slices"

	"shuntwright/match"
)

// wordsOf are what plans of as many filled slots are compared by, one number after
// the other, the smaller one first: how many ranges are whole, negative, points, the
// steps of each range within the class and outside of it, where the other ranges
// have none, the largest first, and parts. Without a resolution there are no
// points, and the steps are the costs. Costs that are not numbers are those of
// ranges that are not whole; what is good enough counts as none.
func wordsOf(o match.Order, costs []float64, parts int) []float64 {
	points, steps := 0.0, [2][]float64{}
	for _, c := range costs {
		if math.IsNaN(c) {
			continue
		}
		outside, n := 0, 0.0
		switch {
		case c <= o.Enough*(1+match.Guard):
		case o.Resolution == 0:
			n = c
		default:
			for class := o.Class; c > class*(1+1e-12); class *= 2 {
				points++
				outside = 1
			}
			for (n+1)*o.Resolution*(1-1e-12) <= c {
				n++
			}
		}
		steps[outside], steps[1-outside] = append(steps[outside], n), append(steps[1-outside], 0)
	}
	return slices.Concat([]float64{-float64(len(steps[0])), points}, falling(steps[0]), falling(steps[1]), []float64{float64(parts)})
}

// CompareByWords says which of two plans of as many filled slots comes first, -1
// for a, by their costs for each range and their parts.
func CompareByWords(o match.Order, a, b []float64, partsA, partsB int) int {
	return slices.CompareFunc(wordsOf(o, a, partsA), wordsOf(o, b, partsB), func(x, y float64) int {
		if math.Abs(x-y) <= equal {
			return 0
		}
		return cmp.Compare(x, y)
	})
}
