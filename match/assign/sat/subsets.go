package sat

// subsetsOf is the size up to which all subsets of a set of parts are looked up.
const subsetsOf = 5

// Subsets are sets of parts seen so far, to tell where another needs no fewer.
// Those of more than five parts are left out. Create them with make.
type Subsets map[[subsetsOf]int32]bool

// Covers tells whether a set of parts, ascending, or a subset of it has been seen,
// and marks it as seen.
func (s Subsets) Covers(parts []int32) bool {
	if len(parts) > subsetsOf {
		return s[[subsetsOf]int32{}]
	}
	var key [subsetsOf]int32
	for mask := range 1 << len(parts) {
		key = [subsetsOf]int32{} // part+1 each, then zeros
		n := 0
		for i, part := range parts {
			if mask>>i&1 != 0 {
				key[n] = part + 1
				n++
			}
		}
		if s[key] {
			return true
		}
	}
	s[key] = true // of all parts
	return false
}
