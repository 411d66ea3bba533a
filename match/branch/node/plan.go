package node

import (
	"fmt"
	"math"
	"slices"
)

// Plan is a choice that has been looked at as a whole.
type Plan struct {
	Chosen []int32   // a candidate a slot, or open
	Errors []float64 // of each range in percent of full scale; NaN where it is not whole
	Limits []float64 // nil where they do not count
	Costs  []float64 // magnitudes of the errors of the whole ranges, with their limits, the largest first
	Parts  int       // how many it takes
}

// limit returns the limit of range r in percent of full scale, 0 where limits
// do not count.
func (p *Plan) limit(r int32) float64 {
	if p.Limits == nil {
		return 0
	}
	return p.Limits[r]
}

// Measure looks at a choice as a whole: for each slot a candidate, or Open;
// whole says of which ranges all slots are filled. It puts the values chosen
// into Values. If the response fails it returns nil, and Err says how.
func (g *Gauge) Measure(chosen []int32, whole []bool) *Plan {
	p := &Plan{Chosen: slices.Clone(chosen), Errors: make([]float64, g.Ranges)}
	for i, c := range chosen {
		if c >= 0 {
			g.Values[i] = g.Tables[i].Values[c]
			p.Parts += int(g.Tables[i].Sizes[c])
		}
	}
	if g.Ranges > 0 {
		g.Work++
		g.response.Errors(p.Errors, g.Values)
	}
	for r, e := range p.Errors {
		if !whole[r] {
			p.Errors[r] = math.NaN()
			continue
		}
		if math.IsNaN(e) || math.IsInf(e, 0) {
			g.Err = fmt.Errorf("branch: the response gives %v %% for range %d at %v; want a finite error", e, r, g.Values)
			g.Ended = true
			return nil
		}
		p.Costs = append(p.Costs, math.Abs(e))
	}
	if !g.addLimits(p) {
		return nil
	}
	slices.SortFunc(p.Costs, func(a, b float64) int {
		if a > b {
			return -1
		}
		if a < b {
			return 1
		}
		return 0
	})
	return p
}

// addLimits adds the limits to the costs of a plan that has been measured. It
// returns false if they are not as they must be.
func (g *Gauge) addLimits(p *Plan) bool {
	if g.Limits == nil {
		return true
	}
	chosen := make([]int, len(p.Chosen))
	for i, c := range p.Chosen {
		chosen[i] = int(c)
	}
	p.Limits = make([]float64, g.Ranges)
	g.Limits.Limits(p.Limits, chosen)
	k := 0
	for r, e := range p.Errors {
		if math.IsNaN(e) {
			continue
		}
		if l := p.Limits[r]; !(l >= 0) || math.IsInf(l, 1) {
			g.Err = fmt.Errorf("branch: the limit of range %d is %v %% for %v; want a finite one, not negative", r, l, chosen)
			g.Ended = true
			return false
		}
		p.Costs[k] += p.Limits[r]
		k++
	}
	return true
}
