package matchtest

import (
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
)

// Parts makes parts of values, unlimited in what they bear.
func Parts(values []float64) []match.Part {
	parts := make([]match.Part, len(values))
	for i, v := range values {
		parts[i] = match.Part{Value: v, Bears: math.Inf(1)}
	}
	return parts
}

// Need asks for a target and nothing else.
func Need(target float64, atMost int) match.Need {
	return match.Need{Target: target, Within: math.Inf(1), AtMost: atMost, Keep: math.NaN(), Flow: math.NaN(), Drop: math.NaN()}
}

// BestPlan tries every assignment of all networks in the windows, and returns these
// too.
func BestPlan(parts []match.Part, p match.Problem) (Plan, [][]network.Network) {
	slots, nets, limits := ask(parts, p)
	return Best(slots, p.Ranges, p.Response, limits, p.Order()), nets
}

// ask lists all networks in the windows, and says how to limit a choice of
// them, nil where limits do not count.
func ask(parts []match.Part, p match.Problem) (slots [][]Candidate, nets [][]network.Network, limits func([]float64, []int)) {
	for _, n := range p.Needs {
		list := Every(parts, n)
		list = slices.DeleteFunc(list, func(net network.Network) bool { return math.Abs(net.Value()/n.Target-1) > n.Within })
		nets, slots = append(nets, list), append(slots, candidates(list))
	}
	if p.Limit == nil {
		return slots, nets, nil
	}
	return slots, nets, func(dst []float64, chosen []int) {
		all := make([]network.Network, len(chosen))
		for i, k := range chosen {
			if k >= 0 {
				all[i] = nets[i][k]
			}
		}
		p.Limit(all, dst)
	}
}
