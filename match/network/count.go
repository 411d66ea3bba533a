package network

import "math/big"

// perSet is how many networks one set of so many labelled leaves makes.
// Source: OEIS A006351, series-parallel networks with n labelled edges.
var perSet = [maxLeaves + 1]int64{0, 1, 2, 8, 52, 472}

// Count returns how many networks n parts make with at most atMost of them
// each: 1, 2, 8, 52 a set of 1, 2, 3, 4 parts. With kept the kept value is one
// more leaf of every network, and alone it is one network: 1, 2, 8, 52, 472 a
// set of 0 to 4 parts. atMost above MaxParts counts as MaxParts; negative
// arguments give 0.
func Count(n, atMost int, kept bool) *big.Int {
	total := new(big.Int)
	if n < 0 || atMost < 0 {
		return total
	}
	extra := 0
	if kept {
		extra = 1
	}
	var sets, term big.Int
	for m := 1 - extra; m <= min(atMost, MaxParts, n); m++ {
		sets.Binomial(int64(n), int64(m))
		total.Add(total, term.Mul(&sets, big.NewInt(perSet[m+extra])))
	}
	return total
}
