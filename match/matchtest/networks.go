package matchtest

import (
	"cmp"
	"math/bits"
	"slices"
)

// Networks returns all series-parallel networks of 1 to most of the parts with these values, each part told from the others: 1, 2, 8
// and 52 a set of 1, 2, 3 and 4 parts (OEIS A006351). They are sorted by value, equal values by parts. There may be at most 64 parts.
func Networks(values []float64, most int) []Candidate {
	var list []Candidate
	for _, set := range sets(len(values), most) {
		both := append(joined(values, set, false), joined(values, set, true)...)
		if bits.OnesCount64(set) == 1 {
			both = both[:1]
		}
		for _, v := range both {
			list = append(list, Candidate{Value: v, Parts: members(set)})
		}
	}
	slices.SortStableFunc(list, func(a, b Candidate) int {
		if c := cmp.Compare(a.Value, b.Value); c != 0 {
			return c
		}
		return slices.Compare(a.Parts, b.Parts)
	})
	return list
}

// sets returns all sets of 1 to most of n parts, as bits.
func sets(n, most int) []uint64 {
	if n > 64 {
		panic("matchtest: more than 64 parts")
	}
	all := []uint64{0}
	for part := range n {
		for _, set := range all {
			if bits.OnesCount64(set) < most {
				all = append(all, set|1<<part)
			}
		}
	}
	return all[1:]
}

// Within returns the candidates whose value is at most so many percent from the target.
func Within(list []Candidate, target, percent float64) []Candidate {
	var within []Candidate
	for _, c := range list {
		if d := c.Value - target; max(d, -d) <= target*percent/100 {
			within = append(within, c)
		}
	}
	return within
}

// joined returns the values of all networks of a set whose outermost join is parallel, or series. A single part counts as either.
// The block that holds the set's first part is any network that is not joined the same way; the rest is one block or more.
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

func members(set uint64) []int32 {
	var parts []int32
	for ; set > 0; set &= set - 1 {
		parts = append(parts, int32(bits.TrailingZeros64(set)))
	}
	return parts
}
