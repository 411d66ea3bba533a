package matchtest

import (
	"cmp"
	"math"
	"slices"

	"shuntwright/match"
)

// CompareByWords says which of two plans of as many filled slots comes first in
// an order with a resolution, -1 for a: as its words have it, one comparison
// after the other, the points first, then the steps of ranges within the class
// and of those outside, the largest first, then the parts. Costs that are not
// numbers are those of ranges that are not whole.
func CompareByWords(o match.Order, a, b []float64, partsA, partsB int) int {
	if o.Resolution == 0 {
		return compareExactly(o, a, b, partsA, partsB)
	}
	wholeA, pointsA, stepsA := byWords(o, a)
	wholeB, pointsB, stepsB := byWords(o, b)
	for _, d := range []int{wholeB - wholeA, pointsA - pointsB, slices.Compare(stepsA[0], stepsB[0]), slices.Compare(stepsA[1], stepsB[1]), partsA - partsB} {
		if d < 0 {
			return -1
		}
		if d > 0 {
			return 1
		}
	}
	return 0
}

// compareExactly is CompareByWords without a resolution: the most whole ranges,
// the smallest worst cost, the smallest next worst and so on, what is good
// enough counting as none, then the parts.
func compareExactly(o match.Order, a, b []float64, partsA, partsB int) int {
	counted := func(costs []float64) (list []float64) {
		for _, c := range costs {
			if c <= o.Enough {
				c = 0
			}
			if !math.IsNaN(c) {
				list = append(list, c)
			}
		}
		slices.Sort(list)
		slices.Reverse(list)
		return list
	}
	x, y := counted(a), counted(b)
	if len(x) != len(y) {
		return cmp.Compare(len(y), len(x))
	}
	for i := range x {
		if math.Abs(x[i]-y[i]) > equal {
			return cmp.Compare(x[i], y[i])
		}
	}
	return cmp.Compare(partsA, partsB)
}

// byWords counts whole ranges, points, and the steps within and outside of the
// class, where the other ranges have none.
func byWords(o match.Order, costs []float64) (whole, points int, steps [2][]float64) {
	for _, c := range costs {
		if math.IsNaN(c) {
			continue
		}
		whole++
		outside, n := 0, 0.0
		if c > o.Enough {
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
	for _, list := range steps {
		slices.Sort(list)
		slices.Reverse(list)
	}
	return whole, points, steps
}

// firstByWords tries every assignment and returns a plan that none comes before
// in an order with a resolution, by its words.
func firstByWords(slots [][]Candidate, ranges int, resp match.Response, limits func(dst []float64, chosen []int), o match.Order) Plan {
	var best *Plan
	var least []float64
	for _, p := range all(slots, ranges, resp) {
		if limits != nil {
			p.Limits = make([]float64, ranges)
			limits(p.Limits, p.Chosen)
		}
		costs := p.PerRange()
		if best == nil || p.Filled() > best.Filled() || p.Filled() == best.Filled() && CompareByWords(o, costs, least, p.Parts, best.Parts) < 0 {
			best, least = &p, costs
		}
	}
	return *best
}

// PerRange returns what each range costs, NaN where it is not whole.
func (p Plan) PerRange() []float64 {
	out := make([]float64, len(p.Errors))
	for r, e := range p.Errors {
		out[r] = math.Abs(e)
		if p.Limits != nil {
			out[r] += p.Limits[r]
		}
	}
	return out
}
