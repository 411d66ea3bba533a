package matchtest

import (
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
)

// Refit tries all networks in one position, and all of up to two parts in two
// of one circuit, and returns a plan that comes earlier in an order with a
// resolution; nil if there is none.
func Refit(parts []match.Part, p match.Problem, nets []network.Network) []network.Network {
	all := make([][]network.Network, len(nets))
	for i, n := range p.Needs {
		for _, net := range Every(parts, n) {
			if math.Abs(net.Value()/n.Target-1) <= n.Within {
				all[i] = append(all[i], net)
			}
		}
	}
	for i := range nets {
		for _, n := range all[i] {
			if trial := with(nets, i, n); earlier(p, trial, nets) {
				return trial
			}
		}
	}
	for i := range nets {
		for k := range i {
			if !linked(p, i)[k] {
				continue
			}
			if trial := refitTwo(p, nets, all, k, i); trial != nil {
				return trial
			}
		}
	}
	return nil
}

// linked tells which positions are of one circuit with another: they have a
// range in common, or are joined by others that have.
func linked(p match.Problem, to int) []bool {
	is := make([]bool, len(p.Needs))
	is[to] = true
	for range p.Needs {
		for r := range p.Ranges {
			moves := func(i int) bool { return p.Response.Rising(r, i) != 0 }
			for i := range is {
				for k := range is {
					is[k] = is[k] || is[i] && moves(i) && moves(k)
				}
			}
		}
	}
	return is
}

func refitTwo(p match.Problem, nets []network.Network, all [][]network.Network, i, k int) []network.Network {
	for _, n := range all[i] {
		for _, m := range all[k] {
			if trial := with(with(nets, i, n), k, m); n.Size() <= 2 && m.Size() <= 2 && earlier(p, trial, nets) {
				return trial
			}
		}
	}
	return nil
}

func with(nets []network.Network, i int, n network.Network) []network.Network {
	out := slices.Clone(nets)
	out[i] = n
	return out
}

// earlier tells by the words of the order whether plan a, which may take parts
// twice, comes before plan b.
func earlier(p match.Problem, a, b []network.Network) bool {
	used := map[int]bool{}
	for _, n := range a {
		for _, part := range n.Parts() {
			if used[part] {
				return false
			}
			used[part] = true
		}
	}
	filledA, partsA, costsA := judge(p, a)
	filledB, partsB, costsB := judge(p, b)
	if filledA != filledB {
		return filledA > filledB
	}
	return CompareByWords(p.Order(), costsA, costsB, partsA, partsB) < 0
}

func judge(p match.Problem, nets []network.Network) (filled, parts int, costs []float64) {
	values, costs := make([]float64, len(nets)), make([]float64, p.Ranges)
	for i, n := range nets {
		if values[i] = p.Needs[i].Target; !n.IsZero() {
			values[i] = n.Value()
			filled++
			parts += n.Size()
		}
	}
	p.Response.Errors(costs, values)
	limits := make([]float64, p.Ranges)
	if p.Limit != nil {
		p.Limit(nets, limits)
	}
	for r := range costs {
		costs[r] = math.Abs(costs[r]) + limits[r]
		for i, n := range nets {
			if n.IsZero() && p.Response.Rising(r, i) != 0 {
				costs[r] = math.NaN()
			}
		}
	}
	return filled, parts, costs
}
