package enumerate

import (
	"math"

	"shuntwright/match/network"
)

// demand is what a network, or a network within it, must be: a value from lo
// to hi, able to bear a flow through it and a drop across it (0: none asked).
type demand struct {
	lo, hi     float64
	flow, drop float64
}

// empty reports whether no positive value is left.
func (d demand) empty() bool { return d.hi <= 0 || d.lo > d.hi }

// each returns what every operand must bear if the network that d is asked of
// joins them with op: all of a series flow, all of a parallel drop. Between the
// two stands the network's value, of which only the span is known; the figure
// returned is the least that can be asked.
func (d demand) each(op network.Op) (flow, drop float64) {
	if op == network.Series {
		return max(d.flow, d.drop/d.hi), 0
	}
	return 0, max(d.drop, d.flow*d.lo)
}

// without returns what is asked of the rest if one operand of value v is
// joined to it with op.
func (d demand) without(op network.Op, v float64) demand {
	rest := demand{}
	rest.flow, rest.drop = d.each(op)
	if op == network.Series {
		rest.lo, rest.hi = max(d.lo-v, 0), d.hi-v
		return rest
	}
	rest.lo, rest.hi = parallelRest(d.lo, v), parallelRest(d.hi, v)
	if math.IsInf(rest.lo, 1) {
		rest.hi = 0 // even an open circuit beside v is too small
	}
	return rest
}

// parallelRest returns what must lie in parallel with v to give total, +Inf
// where nothing makes v small enough to matter.
func parallelRest(total, v float64) float64 {
	if total >= v {
		return math.Inf(1)
	}
	return 1 / (1/total - 1/v)
}

// span returns the limits of the sum of coordinates for op: values themselves
// in series, reciprocals in parallel.
func (d demand) span(op network.Op) (lo, hi float64) {
	if op == network.Series {
		return d.lo, d.hi
	}
	return 1 / d.hi, 1 / d.lo
}

// coordinate is what adds up under op: the value in series, its reciprocal in
// parallel.
func coordinate(op network.Op, v float64) float64 {
	if op == network.Series {
		return v
	}
	return 1 / v
}
