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

// PerRange returns what each range costs, the magnitude of its error with its
// limit; NaN where it is not whole.
func (p Plan) PerRange() []float64 {
	out := make([]float64, len(p.Errors))
	for r, e := range p.Errors {
		out[r] = math.Abs(e)
		if p.Limits != nil {
			out[r] += p.Limits[r]
		}
	}
	return out
}

// Costs returns what the ranges cost that are whole, the largest first.
func (p Plan) Costs() []float64 {
	return falling(slices.DeleteFunc(p.PerRange(), math.IsNaN))
}

func falling(list []float64) []float64 {
	slices.Sort(list)
	slices.Reverse(list)
	return list
}

// Filled returns how many slots are filled.
func (p Plan) Filled() int {
	return len(p.Chosen) - len(slices.DeleteFunc(slices.Clone(p.Chosen), func(c int) bool { return c >= 0 }))
}

// Best tries every assignment of candidates to slots and returns the plan that
// comes first: as many slots filled as can be, then by the words of an order, then
// the smallest costs as they are, then the lists of parts slot by slot, an open slot
// last, then the candidates slot by slot. Where limits is not nil it puts the limit
// of every range in percent into dst for a choice, as in Plan.Chosen. It takes time
// and memory in proportion to the number of assignments.
func Best(slots [][]Candidate, ranges int, resp match.Response, limits func(dst []float64, chosen []int), o match.Order) Plan {
	type ranked struct {
		Plan
		key []float64
	}
	var plans []ranked
	for _, p := range fullest(slots, ranges, resp, limits) {
		plans = append(plans, ranked{p, append(wordsOf(o, p.PerRange(), p.Parts), p.Costs()...)})
	}
	for k := 0; k < len(plans[0].key); k++ { // as long for all, once as many ranges are whole
		least := math.Inf(1)
		for _, p := range plans {
			least = min(least, p.key[k])
		}
		plans = slices.DeleteFunc(plans, func(p ranked) bool { return p.key[k] > least+equal })
	}
	return slices.MinFunc(plans, func(a, b ranked) int { return drawerOrder(slots, a.Plan, b.Plan) }).Plan
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
func fullest(slots [][]Candidate, ranges int, resp match.Response, limits func(dst []float64, chosen []int)) []Plan {
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
			p := measure(slots, ranges, resp, chosen)
			if limits != nil {
				p.Limits = make([]float64, ranges)
				limits(p.Limits, p.Chosen)
			}
			plans = append(plans, p)
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
