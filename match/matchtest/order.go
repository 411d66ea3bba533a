package matchtest

import (
	"cmp"
	"math"
	"slices"

	"shuntwright/match"
)

// words are what a plan is compared by: ranges that are whole, points, the steps
// of each range within the class and outside of it, where the other ranges have
// none, the largest first, and parts. Without a resolution there are no points,
// and the steps are the costs.
type words struct {
	whole, points int
	steps         [2][]float64
	parts         int
}

// wordsOf counts them. Costs that are not numbers are those of ranges that are
// not whole; what is good enough counts as none.
func wordsOf(o match.Order, costs []float64, parts int) words {
	w := words{parts: parts}
	for _, c := range costs {
		if math.IsNaN(c) {
			continue
		}
		w.whole++
		outside, n := 0, 0.0
		switch {
		case c <= o.Enough:
		case o.Resolution == 0:
			n = c
		default:
			for class := o.Class; c > class*(1+1e-12); class *= 2 {
				w.points++
				outside = 1
			}
			for (n+1)*o.Resolution*(1-1e-12) <= c {
				n++
			}
		}
		w.steps[outside], w.steps[1-outside] = append(w.steps[outside], n), append(w.steps[1-outside], 0)
	}
	for _, list := range w.steps {
		slices.Sort(list)
		slices.Reverse(list)
	}
	return w
}

// compare says which of two plans of as many filled slots comes first, -1 for a,
// one comparison after the other.
func compare(a, b words) int {
	if c := cmp.Or(cmp.Compare(b.whole, a.whole), cmp.Compare(a.points, b.points)); c != 0 {
		return c
	}
	for k := range a.steps {
		for i, x := range a.steps[k] {
			if y := b.steps[k][i]; math.Abs(x-y) > equal {
				return cmp.Compare(x, y)
			}
		}
	}
	return cmp.Compare(a.parts, b.parts)
}

// CompareByWords says which of two plans of as many filled slots comes first, -1
// for a, by their costs for each range and their parts.
func CompareByWords(o match.Order, a, b []float64, partsA, partsB int) int {
	return compare(wordsOf(o, a, partsA), wordsOf(o, b, partsB))
}

// firstByWords tries every assignment and returns a plan that none comes before
// in an order, by its words.
func firstByWords(slots [][]Candidate, ranges int, resp match.Response, limits func(dst []float64, chosen []int), o match.Order) Plan {
	var best Plan
	var least words
	for i, p := range fullest(slots, ranges, resp) {
		if limits != nil {
			p.Limits = make([]float64, ranges)
			limits(p.Limits, p.Chosen)
		}
		if w := wordsOf(o, p.PerRange(), p.Parts); i == 0 || compare(w, least) < 0 {
			best, least = p, w
		}
	}
	return best
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
