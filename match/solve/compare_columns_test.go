package solve_test

import (
	"math"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

// column is one network that may fill one position.
type column struct {
	parts []int32 // ascending
	value float64 // ohms
	cost  float64 // |error| in percent with all other positions at their targets
}

// columns lists for each position every network within its window, in the
// plainest way, and says how many there are in all.
func columns(values []float64, p match.Problem) (lists [][]column, total int) {
	most := 0
	for _, n := range p.Needs {
		most = max(most, n.AtMost)
	}
	lists = make([][]column, len(p.Needs))
	ohms, errors := targets(p), make([]float64, p.Ranges)
	for _, net := range matchtest.Networks(values, most) {
		for i, n := range p.Needs {
			if len(net.Parts) > n.AtMost || math.Abs(net.Value/n.Target-1) > n.Within {
				continue
			}
			ohms[i] = net.Value
			p.Response.Errors(errors, ohms)
			ohms[i] = n.Target
			lists[i] = append(lists[i], column{parts: net.Parts, value: net.Value, cost: math.Abs(errors[i])})
			total++
		}
	}
	return lists, total
}

func targets(p match.Problem) []float64 {
	var ohms []float64
	for _, n := range p.Needs {
		ohms = append(ohms, n.Target)
	}
	return ohms
}

// partSet is a set of parts as a map key; unused places are -1.
type partSet [network.MaxParts]int32

func setOf(parts []int32) partSet {
	s := partSet{-1, -1, -1, -1}
	copy(s[:], parts)
	return s
}

// reduce keeps the best network of each set of parts, and no set that contains
// a smaller one with no larger error. For separate circuits neither changes
// the smallest worst error.
func reduce(list []column) []column {
	best := map[partSet]float64{}
	for _, c := range list {
		key := setOf(c.parts)
		if old, ok := best[key]; !ok || c.cost < old {
			best[key] = c.cost
		}
	}
	var kept []column
	seen := map[partSet]bool{}
	for _, c := range list {
		key := setOf(c.parts)
		if !seen[key] && c.cost == best[key] && !dominated(best, c) {
			kept = append(kept, c)
			seen[key] = true
		}
	}
	return kept
}

// dominated reports whether some of the parts do as well alone.
func dominated(best map[partSet]float64, c column) bool {
	for mask := 1; mask < 1<<len(c.parts)-1; mask++ {
		var some []int32
		for i, p := range c.parts {
			if mask>>i&1 != 0 {
				some = append(some, p)
			}
		}
		if cost, ok := best[setOf(some)]; ok && cost <= c.cost {
			return true
		}
	}
	return false
}

// checkColumns holds the candidates against the number that was published.
func checkColumns(t *testing.T, got, published int) {
	t.Helper()
	if got != published {
		t.Errorf("%d candidate networks, published %d", got, published)
	}
}
