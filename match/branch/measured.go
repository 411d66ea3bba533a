package branch

import (
	"fmt"
	"math"
	"slices"
)

// measured is a choice that has been looked at as a whole.
type measured struct {
	chosen []int32   // a candidate a slot, or open
	errors []float64 // of each range in percent of full scale; NaN where it is not whole
	costs  []float64 // magnitudes of the errors of the whole ranges, with their limits, the largest first
	parts  int       // how many it takes
}

// measure looks at a choice as a whole: for each slot a candidate, or open;
// whole says of which ranges all slots are filled. It puts the values chosen
// into values. If the response fails it returns nil, and err says how.
func (g *gauge) measure(chosen []int32, whole []bool) *measured {
	p := &measured{chosen: slices.Clone(chosen), errors: make([]float64, g.ranges)}
	for i, c := range chosen {
		if c >= 0 {
			g.values[i] = g.tables[i].values[c]
			p.parts += int(g.tables[i].sizes[c])
		}
	}
	if g.ranges > 0 {
		g.work++
		g.response.Errors(p.errors, g.values)
	}
	for r, e := range p.errors {
		if !whole[r] {
			p.errors[r] = math.NaN()
			continue
		}
		if math.IsNaN(e) || math.IsInf(e, 0) {
			g.err = fmt.Errorf("branch: the response gives %v %% for range %d at %v; want a finite error", e, r, g.values)
			g.ended = true
			return nil
		}
		p.costs = append(p.costs, math.Abs(e))
	}
	if !g.addLimits(p) {
		return nil
	}
	slices.SortFunc(p.costs, func(a, b float64) int {
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
func (g *gauge) addLimits(p *measured) bool {
	if g.limits == nil {
		return true
	}
	chosen := make([]int, len(p.chosen))
	for i, c := range p.chosen {
		chosen[i] = int(c)
	}
	limits := make([]float64, g.ranges)
	g.limits.Limits(limits, chosen)
	k := 0
	for r, e := range p.errors {
		if math.IsNaN(e) {
			continue
		}
		if l := limits[r]; !(l >= 0) || math.IsInf(l, 1) {
			g.err = fmt.Errorf("branch: the limit of range %d is %v %% for %v; want a finite one, not negative", r, l, chosen)
			g.ended = true
			return false
		}
		p.costs[k] += limits[r]
		k++
	}
	return true
}
