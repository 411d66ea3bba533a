package matchtest

import (
	"cmp"
	"math/bits"
	"slices"
)

// Networks returns all series-parallel networks of 1 to most of the parts with
// these values, each part told from the others: 1, 2, 8 and 52 a set of 1, 2, 3
// and 4 parts (OEIS A006351). They are sorted by value, equal values by parts.
// most may be 64 at most.
func Networks(values []float64, most int) []Candidate {
	var list []Candidate
	var grow func(set []int32, of []float64)
	grow = func(set []int32, of []float64) {
		if len(set) > 0 {
			all := uint64(1)<<len(set) - 1
			both := joined(of, all, false)
			if len(set) > 1 {
				both = append(both, joined(of, all, true)...)
			}
			for _, v := range both {
				list = append(list, Candidate{Value: v, Parts: set})
			}
		}
		next := int32(0)
		if len(set) > 0 {
			next = set[len(set)-1] + 1
		}
		for i := next; len(set) < most && int(i) < len(values); i++ {
			grow(append(slices.Clone(set), i), append(slices.Clone(of), values[i]))
		}
	}
	grow(nil, nil)
	slices.SortFunc(list, func(a, b Candidate) int {
		if c := cmp.Compare(a.Value, b.Value); c != 0 {
			return c
		}
		return slices.Compare(a.Parts, b.Parts)
	})
	return list
}

// Round returns all networks round a kept value, of 0 to most of the parts.
func Round(values []float64, kept float64, most int) []Candidate {
	var list []Candidate
	for _, n := range Networks(append([]float64{kept}, values...), most+1) {
		if n.Parts[0] != 0 {
			continue
		}
		parts := slices.Clone(n.Parts[1:])
		for i := range parts {
			parts[i]--
		}
		list = append(list, Candidate{Value: n.Value, Parts: parts})
	}
	return list
}

// Within returns the candidates whose value is at most so many percent from the
// target.
func Within(list []Candidate, target, percent float64) []Candidate {
	var within []Candidate
	for _, c := range list {
		if d := c.Value - target; max(d, -d) <= target*percent/100 {
			within = append(within, c)
		}
	}
	return within
}

// joined returns the values of all networks of a set whose outermost join is
// parallel, or series. A single part counts as either. The block that holds the
// set's first part is any network that is not joined the same way; the rest is
// one block or more.
func joined(values []float64, set uint64, parallel bool) []float64 {
	first := set & -set
	if set == first {
		return []float64{values[bits.TrailingZeros64(set)]}
	}
	var all []float64
	others := set &^ first
	for rest := others; rest > 0; rest = (rest - 1) & others { // not empty: at least two blocks
		block := set &^ rest
		tails := joined(values, rest, parallel)
		if bits.OnesCount64(rest) > 1 {
			tails = append(tails, joined(values, rest, !parallel)...) // the rest is one block
		}
		for _, a := range joined(values, block, !parallel) {
			for _, b := range tails {
				if parallel {
					all = append(all, a*b/(a+b))
				} else {
					all = append(all, a+b)
				}
			}
		}
	}
	return all
}
