package solve_test

import (
	"fmt"
	"math"

	"shuntwright/match"
	"shuntwright/match/matchtest"
)

// linear is a meter with rings and chains as rows that are linear in the
// sections' deviations from their ideal values, for a worst error t given as a
// fraction; testdata/joint/README.md states them.
type linear struct {
	problem match.Problem
	meter   *matchtest.Meter
	lists   [][]column
	im, rm  float64
}

func newLinear(p match.Problem, lists [][]column) linear {
	l := linear{problem: p, meter: p.Response.(*matchtest.Meter), lists: lists}
	l.im, l.rm = l.meter.Amperes, l.meter.Ohms
	return l
}

// leastWorst finds the smallest worst error in percent: up from a small one by
// doubling, so that the first questions are small too, then by bisection. Every
// choice's true error is the new upper end; at last there is none that is better
// by gap, a fraction of it. Where a choice is within t only by the solver's own
// tolerance, the last step is widened tenfold.
func leastWorst(l linear, gap float64, ask question) (percent, proven float64, err error) {
	lo, hi, found := 0.0, 1.0, false
	for hi-lo > 1e-9 && gap < 0.01 {
		t := (lo + hi) / 2
		if !found {
			t = min(max(2*lo, 1e-4), t)
		}
		last := found && hi-lo < hi/20
		if last {
			if t = hi * (1 - gap); lo >= t {
				break
			}
		}
		p := l.program(t)
		chosen, feasible, err := ask(p)
		if err != nil {
			return 0, 0, err
		}
		if !feasible {
			lo = t
			continue
		}
		worst := l.worst(p, chosen)
		better := worst < hi
		if better {
			hi, found = worst, true
		}
		switch {
		case worst > t && last:
			gap *= 10
		case worst > t && !better:
			return 0, 0, fmt.Errorf("a choice within %v is off by %v", t, worst)
		}
	}
	if !found || gap >= 0.01 {
		return 0, 0, fmt.Errorf("no choice proven: the best is off by %v", hi)
	}
	return hi * 100, gap, nil
}

// worst computes the errors of a choice afresh.
func (l linear) worst(p program, chosen []int) float64 {
	ohms, errors := make([]float64, len(chosen)), make([]float64, l.problem.Ranges)
	for i, j := range chosen {
		ohms[i] = p.lists[i][j].value
	}
	l.problem.Response.Errors(errors, ohms)
	worst := 0.0
	for _, e := range errors {
		worst = max(worst, math.Abs(e))
	}
	return worst / 100
}

// program asks for a choice with no error above t. Candidates outside of what t
// leaves to their section are dropped first.
func (l linear) program(t float64) program {
	least, most := l.intervals(t)
	lists := keep(l.lists, func(i int, c column) bool {
		if kind, _ := l.meter.Circuit(i); kind == "ring" || kind == "chain" {
			return c.value >= least[i] && c.value <= most[i]
		}
		return c.cost <= t*100
	})
	p := program{lists: lists}
	for k := range l.lists {
		switch kind, full := l.meter.Circuit(k); kind {
		case "chain":
			for _, sign := range []float64{1, -1} {
				p.rows = append(p.rows, l.row(lists, func(i int) float64 { return -sign * (1 + sign*t) * l.im * l.chained(k, i) / (t * full) }))
			}
		case "ring":
			whole := l.whole()
			for _, sign := range []float64{1, -1} {
				p.rows = append(p.rows, l.row(lists, func(i int) float64 {
					return sign * (full*l.tapped(k, i) - (1+sign*t)*l.im*l.tapped(0, i)) / (t * l.im * whole)
				}))
			}
		}
	}
	return p
}

// row multiplies the deviations of each position's columns by its weight.
func (l linear) row(lists [][]column, weight func(position int) float64) row {
	r := make(row, len(lists))
	for i, list := range lists {
		w := weight(i)
		for _, c := range list {
			if w != 0 {
				r[i] = append(r[i], w*(c.value-l.problem.Needs[i].Target))
			}
		}
	}
	return r
}

// chained is 1 where section i lies between the movement and tap k of the chain.
func (l linear) chained(k, i int) float64 { return l.within(i, "chain", i <= k) }

// tapped is 1 where section i lies between tap k of the ring and the common
// end; for the first position it is the whole ring.
func (l linear) tapped(k, i int) float64 { return l.within(i, "ring", i >= k) }

func (l linear) within(i int, of string, holds bool) float64 {
	if kind, _ := l.meter.Circuit(i); kind == of && holds {
		return 1
	}
	return 0
}

// whole is the resistance of the ideal ring and the movement.
func (l linear) whole() float64 {
	sum := l.rm
	for i, n := range l.problem.Needs {
		sum += l.tapped(0, i) * n.Target
	}
	return sum
}

// intervals returns what t leaves to each section of rings and chains, a
// little widened for rounding.
func (l linear) intervals(t float64) (least, most []float64) {
	n := len(l.lists)
	least, most = make([]float64, n), make([]float64, n)
	below, above := l.rm, l.rm // from the movement to the tap before
	for i := range n {
		if kind, full := l.meter.Circuit(i); kind == "chain" {
			lo, hi := full/l.im/(1+t), full/l.im/(1-t)
			least[i], most[i] = lo-above, hi-below
			below, above = lo, hi
		}
	}
	small, large := math.NaN(), math.NaN() // the whole ring and the movement
	for i := range n {
		if kind, full := l.meter.Circuit(i); kind == "ring" && math.IsNaN(small) {
			share := l.im / full
			small, large = l.rm/(1-share*(1-t)), l.rm/max(1-share*(1+t), 1e-6)
		}
	}
	low, high := 0.0, 0.0 // from the tap after to the common end
	for i := n - 1; i >= 0; i-- {
		if kind, full := l.meter.Circuit(i); kind == "ring" {
			lo, hi := l.im*(1-t)/full*small, l.im*(1+t)/full*large
			least[i], most[i] = lo-high, hi-low
			low, high = lo, hi
		}
	}
	for i := range n {
		least[i] -= 1e-9 * math.Abs(least[i])
		most[i] += 1e-9 * math.Abs(most[i])
	}
	return least, most
}
