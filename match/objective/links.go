package objective

import (
	"slices"

	"shuntwright/match"
)

// Margin, in percent, is wider than two costs that count as equal lie apart: a
// list that reaches beyond a cost by it holds all that equals that cost.
const Margin = 2 * match.Equal

// Links are the ties between slots and ranges, and room for one call of the
// Response. They are not for several goroutines at once.
type Links struct {
	SlotsOf [][]int   // of each range, the slots that it depends on
	RangeOf []int     // of each slot the last range that depends on it, -1 if none does
	Values  []float64 // of all slots, for Respond
	Errors  []float64 // of all ranges, in percent, from Respond

	response match.Response
	single   match.Single // nil: the response gives all errors or none
	targets  []float64
}

// NewLinks asks the response, which may be nil if there is no range, for the
// ties of its ranges with the slots that have these targets.
func NewLinks(response match.Response, ranges int, targets []float64) *Links {
	l := &Links{SlotsOf: make([][]int, ranges), RangeOf: make([]int, len(targets)), Values: slices.Clone(targets),
		Errors: make([]float64, ranges), response: response, targets: targets}
	l.single, _ = response.(match.Single)
	for i := range l.RangeOf {
		l.RangeOf[i] = -1
	}
	for r := range ranges {
		for i := range targets {
			if response.Rising(r, i) != 0 {
				l.SlotsOf[r] = append(l.SlotsOf[r], i)
				l.RangeOf[i] = r
			}
		}
	}
	return l
}

// Separate reports whether every slot has one range of its own.
func (l *Links) Separate() bool {
	ranges := make([]int, len(l.RangeOf))
	for _, slots := range l.SlotsOf {
		if len(slots) > 1 {
			return false
		}
		for _, i := range slots {
			ranges[i]++
		}
	}
	return !slices.ContainsFunc(ranges, func(n int) bool { return n != 1 })
}

// Reset puts all Values on their targets.
func (l *Links) Reset() { copy(l.Values, l.targets) }

// Respond computes Errors for Values.
func (l *Links) Respond() {
	if len(l.Errors) > 0 {
		l.response.Errors(l.Errors, l.Values)
	}
}

// ErrorOf returns the error of range r, in percent, for Values. It leaves Errors
// undefined.
func (l *Links) ErrorOf(r int) float64 {
	if l.single != nil {
		return l.single.ErrorOf(r, l.Values)
	}
	l.Respond()
	return l.Errors[r]
}

// CostBeyond returns the least |error|, in percent, of the slot's range where
// the slot's value is further from its target than the given fraction of it, a
// little less for rounding. Errors are monotone, so if both ends lie on
// different sides of zero, the smaller error of the two is it.
func (l *Links) CostBeyond(slot int, fraction float64) float64 {
	if fraction <= 0 {
		return 0
	}
	r, target := l.RangeOf[slot], l.targets[slot]
	at := func(v float64) float64 {
		l.Reset()
		l.Values[slot] = v
		return l.ErrorOf(r) * float64(l.response.Rising(r, slot))
	}
	high := at(target * (1 + fraction))
	if fraction >= 1 { // nothing lies below
		return max(high-Margin, 0)
	}
	low := at(target * (1 - fraction))
	if low > 0 || high < 0 {
		return 0
	}
	return max(min(-low, high)-Margin, 0)
}

// FractionAt returns a fraction of the target, at most within, beyond which the
// slot's range costs at least the level, in percent: CostBeyond says so of it. It
// is within if no smaller one is found.
func (l *Links) FractionAt(slot int, level, within float64) float64 {
	from, to := 0.0, min(within, 1)
	if !(l.CostBeyond(slot, to) >= level) {
		return within
	}
	for range 2 * halvings {
		if mid := from + (to-from)/2; l.CostBeyond(slot, mid) >= level {
			to = mid
		} else {
			from = mid
		}
	}
	return to
}

// Circuits returns the slots that have a range in common, or are linked by others
// that have, group by group in the order of the slots.
func (l *Links) Circuits() [][]int {
	of := make([]int, len(l.RangeOf))
	for i := range of {
		of[i] = i
	}
	for _, slots := range l.SlotsOf {
		for _, i := range slots {
			from, to := max(of[i], of[slots[0]]), min(of[i], of[slots[0]])
			for j := range of {
				if of[j] == from {
					of[j] = to
				}
			}
		}
	}
	var out [][]int
	for c := range of {
		var circuit []int
		for i, o := range of {
			if o == c {
				circuit = append(circuit, i)
			}
		}
		if circuit != nil {
			out = append(out, circuit)
		}
	}
	return out
}
