package matchtest

import (
	"cmp"
	"math"
	"slices"

	"shuntwright/match/network"
)

// Networks returns all series-parallel networks of 1 to most of the parts with
// these values, each part told from the others: 1, 2, 8 and 52 a set of 1, 2, 3
// and 4 parts (OEIS A006351). They are sorted by value, equal values by parts.
func Networks(values []float64, most int) []Candidate { return Round(values, math.NaN(), most) }

// Round returns all networks round a kept value, of 0 to most of the parts.
func Round(values []float64, kept float64, most int) []Candidate {
	n := Need(1, most)
	n.Keep, n.KeepBears = kept, math.Inf(1)
	list := candidates(Every(Parts(values), n))
	slices.SortFunc(list, func(a, b Candidate) int {
		return cmp.Or(cmp.Compare(a.Value, b.Value), slices.Compare(a.Parts, b.Parts))
	})
	return list
}

// candidates are networks as a slot may have them, in their order.
func candidates(nets []network.Network) []Candidate {
	list := make([]Candidate, len(nets))
	for i, n := range nets {
		set := n.Set()
		list[i] = Candidate{Value: n.Value(), Parts: set[:n.Size()]}
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
