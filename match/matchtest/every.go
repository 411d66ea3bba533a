package matchtest

import (
	"shuntwright/match"
	"shuntwright/match/network"
)

// Every lists all networks that a need allows but for its window, by splitting
// sets of leaves in every way.
func Every(parts []match.Part, n match.Need) []network.Network {
	l := &network.Leaves{KeptValue: n.Keep, KeptBearing: n.KeepBears}
	for _, p := range parts {
		l.Values, l.Bears = append(l.Values, p.Value), append(l.Bears, p.Bears)
	}
	start := []int{}
	if n.Keeps() {
		start = append(start, network.Kept)
	}
	var out []network.Network
	for _, leaves := range sets(start, 0, len(parts), n.AtMost) {
		for _, net := range splits(l, leaves) {
			if !(net.Bears() < n.Flow*(1-1e-12)) && !(net.Bears()*net.Value() < n.Drop*(1-1e-12)) {
				out = append(out, net)
			}
		}
	}
	return out
}

// sets adds to a set at most so many of the numbers from from to below to, in
// every way. The empty set is none.
func sets(set []int, from, to, most int) [][]int {
	var out [][]int
	if len(set) > 0 {
		out = append(out, set)
	}
	for i := from; i < to && most > 0; i++ {
		out = append(out, sets(append(set[:len(set):len(set)], i), i+1, to, most-1)...)
	}
	return out
}

// splits lists all networks of a set of leaves.
func splits(l *network.Leaves, set []int) []network.Network {
	switch {
	case len(set) == 1 && set[0] == network.Kept:
		return []network.Network{l.Kept()}
	case len(set) == 1:
		return []network.Network{l.Part(set[0])}
	}
	seen := map[network.Network]bool{}
	var out []network.Network
	for mask := range 1<<(len(set)-1) - 1 {
		a, b := []int{set[0]}, []int{}
		for i, x := range set[1:] {
			if mask>>i&1 == 1 {
				a = append(a, x)
			} else {
				b = append(b, x)
			}
		}
		for _, n := range joins(l, splits(l, a), splits(l, b)) {
			if !seen[n] {
				seen[n] = true
				out = append(out, n)
			}
		}
	}
	return out
}

func joins(l *network.Leaves, as, bs []network.Network) (out []network.Network) {
	for _, a := range as {
		for _, b := range bs {
			out = append(out, l.Join(network.Series, a, b), l.Join(network.Parallel, a, b))
		}
	}
	return out
}
