package matchtest

import (
	"math"
	"slices"

	"shuntwright/match"
)

// equal is how far apart two errors may be and still be equal, in percentage
// points.
const equal = 1e-9

// Candidate is one way of filling a slot: a value and the parts it takes.
type Candidate struct {
	Value float64
	Parts []int32 // ascending
}

// Plan is one candidate a slot, or none.
type Plan struct {
	Chosen []int     // for each slot an index into its candidates, -1: open
	Errors []float64 // for each range its signed error in percent; NaN where one of its slots is open
	Limits []float64 // for each range the limit of its error in percent; nil where limits do not count
	Parts  int       // how many parts it takes
}

// Costs returns the magnitudes of the errors that there are, with their limits,
// the largest first.
func (p Plan) Costs() []float64 {
	var costs []float64
	for r, e := range p.Errors {
		if math.IsNaN(e) {
			continue
		}
		cost := math.Abs(e)
		if p.Limits != nil {
			cost += p.Limits[r]
		}
		costs = append(costs, cost)
	}
	slices.Sort(costs)
	slices.Reverse(costs)
	return costs
}

// Filled returns how many slots are filled.
func (p Plan) Filled() int {
	n := 0
	for _, c := range p.Chosen {
		if c >= 0 {
			n++
		}
	}
	return n
}

// Best tries every assignment of candidates to slots and returns the plan that
// comes first: as many slots filled as can be, as many ranges whole, the
// smallest worst error, the smallest next worst and so on, errors of at most
// enough counting as none, the fewest parts, then the smallest errors as they
// are, then the lists of parts slot by slot, an open slot last, then the
// candidates slot by slot. Where limits is not nil, errors count with them: it
// puts the limit of every range in percent into dst for a choice, as in
// Plan.Chosen. It takes time and memory in proportion to the number of
// assignments.
func Best(slots [][]Candidate, ranges int, resp match.Response, limits func(dst []float64, chosen []int), enough float64) Plan {
	plans := fullest(slots, ranges, resp)
	for i := range plans {
		if limits != nil {
			plans[i].Limits = make([]float64, ranges)
			limits(plans[i].Limits, plans[i].Chosen)
		}
	}
	plans = fewest(plans, 0, func(p Plan) float64 { return -float64(len(p.Costs())) })
	for k := range plans[0].Costs() {
		plans = fewest(plans, equal, func(p Plan) float64 {
			if c := p.Costs()[k]; c > enough*(1+match.Guard) {
				return c
			}
			return 0
		})
	}
	plans = fewest(plans, 0, func(p Plan) float64 { return float64(p.Parts) })
	for k := range plans[0].Costs() {
		plans = fewest(plans, equal, func(p Plan) float64 { return p.Costs()[k] })
	}
	return slices.MinFunc(plans, func(a, b Plan) int { return drawerOrder(slots, a, b) })
}

// fewest returns the plans for which f is at most by apart from its minimum.
func fewest(plans []Plan, by float64, f func(Plan) float64) []Plan {
	least := math.Inf(1)
	for _, p := range plans {
		least = min(least, f(p))
	}
	return slices.DeleteFunc(slices.Clone(plans), func(p Plan) bool { return f(p) > least+by })
}

// drawerOrder compares two plans by their lists of parts, slot by slot, then by
// their candidates.
func drawerOrder(slots [][]Candidate, a, b Plan) int {
	for s := range slots {
		x, y := a.Chosen[s], b.Chosen[s]
		switch {
		case x < 0 && y < 0:
			continue
		case y < 0:
			return -1
		case x < 0:
			return 1
		}
		if c := slices.Compare(slots[s][x].Parts, slots[s][y].Parts); c != 0 {
			return c
		}
	}
	return slices.Compare(a.Chosen, b.Chosen)
}

// fullest returns every assignment in which no part is used twice and that fills
// the most slots.
func fullest(slots [][]Candidate, ranges int, resp match.Response) []Plan {
	var plans []Plan
	chosen, most := make([]int, len(slots)), 0
	used := make(map[int32]bool)
	var fill func(s, filled int)
	fill = func(s, filled int) {
		if filled+len(slots)-s < most {
			return
		}
		if s == len(slots) {
			if filled > most {
				plans, most = nil, filled
			}
			plans = append(plans, measure(slots, ranges, resp, chosen))
			return
		}
		for i, c := range slots[s] {
			if slices.ContainsFunc(c.Parts, func(p int32) bool { return used[p] }) {
				continue
			}
			for _, p := range c.Parts {
				used[p] = true
			}
			chosen[s] = i
			fill(s+1, filled+1)
			for _, p := range c.Parts {
				delete(used, p)
			}
		}
		chosen[s] = -1
		fill(s+1, filled)
	}
	fill(0, 0)
	return plans
}

// measure makes a plan of a choice.
func measure(slots [][]Candidate, ranges int, resp match.Response, chosen []int) Plan {
	p := Plan{Chosen: slices.Clone(chosen), Errors: make([]float64, ranges)}
	ohms := make([]float64, len(slots))
	for s, c := range chosen {
		ohms[s] = 1
		if c >= 0 {
			ohms[s] = slots[s][c].Value
			p.Parts += len(slots[s][c].Parts)
		}
	}
	resp.Errors(p.Errors, ohms)
	for r := range ranges {
		for s, c := range chosen {
			if c < 0 && resp.Rising(r, s) != 0 {
				p.Errors[r] = math.NaN()
			}
		}
	}
	return p
}
