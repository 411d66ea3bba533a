// Package plantest is the slow and obvious way to plan, for tests: every network,
// every assignment.
package plantest

import (
	"math"
	"slices"

	"shuntwright/match/matchtest"
	"shuntwright/match/network"
	"shuntwright/match/planning"
	"shuntwright/match/stock"
)

// Parts makes parts of values, unlimited in what they bear.
func Parts(values []float64) []stock.Part {
	parts := make([]stock.Part, len(values))
	for i, v := range values {
		parts[i] = stock.Part{Value: v, Bears: math.Inf(1)}
	}
	return parts
}

// Need asks for a target and nothing else.
func Need(target float64, atMost int) stock.Need {
	return stock.Need{Target: target, Within: math.Inf(1), AtMost: atMost, Keep: math.NaN(), Flow: math.NaN(), Drop: math.NaN()}
}

// Problem is what a case of matchtest asks.
func Problem(c matchtest.Case) planning.Problem {
	p := planning.Problem{Ranges: c.Ranges, Response: c.Response, Enough: c.Enough}
	for _, slot := range c.Slots {
		n := Need(slot.Target, slot.AtMost)
		n.Within, n.Keep, n.KeepBears = slot.Within, slot.Keep, math.Inf(1)
		p.Needs = append(p.Needs, n)
	}
	return p
}

// Best tries every assignment of all networks in the windows.
func Best(parts []stock.Part, p planning.Problem) (matchtest.Plan, [][]network.Network) {
	var nets [][]network.Network
	var slots [][]matchtest.Candidate
	for _, n := range p.Needs {
		list := Every(parts, n)
		list = slices.DeleteFunc(list, func(net network.Network) bool { return math.Abs(net.Value()/n.Target-1) > n.Within })
		candidates := make([]matchtest.Candidate, len(list))
		for k, net := range list {
			set := net.Set()
			candidates[k] = matchtest.Candidate{Value: net.Value(), Parts: set[:net.Size()]}
		}
		nets, slots = append(nets, list), append(slots, candidates)
	}
	if p.Limit == nil {
		return matchtest.Best(slots, p.Ranges, p.Response, p.Enough), nets
	}
	return matchtest.Surest(slots, p.Ranges, p.Response, func(dst []float64, chosen []int) {
		all := make([]network.Network, len(chosen))
		for i, k := range chosen {
			if k >= 0 {
				all[i] = nets[i][k]
			}
		}
		p.Limit(all, dst)
	}, p.Enough), nets
}
