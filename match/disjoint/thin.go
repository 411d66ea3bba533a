package disjoint

import "slices"

// subsetsOf is the size up to which all subsets of a candidate's parts are looked up.
const subsetsOf = 5

// setKey is a set of at most subsetsOf parts: part+1 each, then zeros.
type setKey [subsetsOf]int32

func keyOf(parts []int32, mask int) setKey {
	var k setKey
	n := 0
	for i, part := range parts {
		if mask>>i&1 != 0 {
			k[n] = part + 1
			n++
		}
	}
	return k
}

// thin sorts options by cost and drops those that can never be in the best choice: where another has the same parts, or some
// of them, and costs no more. Larger sets than subsetsOf are kept.
func thin(list []option) []option {
	slices.SortFunc(list, byCost)
	seen := make(map[setKey]bool, len(list))
	kept := list[:0]
	// Among equal costs the set that contains the other may come first; a second pass over them, small sets first, settles it.
	for from := 0; from < len(list); {
		to := from + 1
		for to < len(list) && list[to].cost == list[from].cost {
			to++
		}
		slices.SortStableFunc(list[from:to], func(a, b option) int { return len(a.parts) - len(b.parts) })
		for _, o := range list[from:to] {
			if !covered(o.parts, seen) {
				kept = append(kept, o)
			}
		}
		from = to
	}
	return kept
}

// covered tells whether parts or a subset of it has been seen, and marks it as seen.
func covered(parts []int32, seen map[setKey]bool) bool {
	if len(parts) > subsetsOf {
		return seen[setKey{}]
	}
	all := 1<<len(parts) - 1
	for mask := all; mask >= 0; mask-- {
		if seen[keyOf(parts, mask)] {
			return true
		}
	}
	seen[keyOf(parts, all)] = true
	return false
}
