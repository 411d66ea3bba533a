package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/nominal"
	"shuntwright/match"
	"shuntwright/match/buy"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// toBeHad is the largest current, in amperes, at full scale of a range that reads
// true, that a part as sold may carry, if its ratings were so many times as high:
// by the derated share of its watts, and so that a range which reads high by the
// whole class, in percent, takes it neither beyond its watts nor beyond its
// limiting element voltage.
func (c *call) toBeHad(ohms, times, class float64) float64 {
	o := &c.options
	watts, volts := times*o.buyWatts.base(), times*o.buyVolts.base()
	return min(math.Sqrt(asbuilt.Share(o.derate)*watts/ohms), math.Sqrt(watts/ohms)/loaded(class), volts/ohms/loaded(class))
}

// loaded is how many times its current at full scale a part may carry where ranges
// are off by so many percent.
func loaded(percent float64) float64 { return 1 + 1.1*percent/100 }

// boughtItems are the pieces of a choice with what each must bear: its
// dissipation at full scale over the derated share, and the voltage across it.
// That is of the current that the search holds parts against, and of the one that
// flows with these values, whichever is larger; and there is room for any other plan
// with the same pieces whose ranges are within the class. What the first of these
// asks can be had; the little more that the others ask of the derated share is not
// counted beyond the watts that can be had.
func (c *call) boughtItems(s *setup, q *plan.Question, bought buy.Bought, times float64) []boughtItem {
	if !bought.Found {
		return nil
	}
	var items []boughtItem
	whole := s.Ohms()
	for slot, n := range bought.Plan.Networks {
		whole[q.Open[slot]] = n.Value()
	}
	carried := s.Meter.Predict(whole).Positions
	more := loaded(q.Problem.Order().Class)
	for slot, n := range bought.Plan.Networks {
		var ohms []float64
		var is []bool // bought, by leaf
		leaf := func(part int) wiring.Network {
			x, piece := s.pieceOf(q, bought, part)
			ohms, is = append(ohms, x), append(is, piece)
			return wiring.Network{ID: fmt.Sprint(part)}
		}
		kept := wiring.Network{ID: "kept"}
		w := asbuilt.WireTree(n.Tree(), leaf, kept)
		if n.HasKept() {
			ohms, is = withKept(w, ohms, is, q.Problem.Needs[slot].Keep)
		}
		amperes, _ := w.Shares(ohms)
		whole := (1 + match.Guard) * max(carried[q.Open[slot]].Amperes, held(q.Problem.Needs[slot], n.Value(), more))
		for k, x := range ohms {
			if flow := amperes[k] * whole; is[k] {
				watts := min(flow*flow*x/c.options.derate, times*c.options.buyWatts.base())
				items = counted(items, boughtItem{x, 1, watts, flow * x, s.Positions[q.Open[slot]].Name})
			}
		}
	}
	slices.SortStableFunc(items, func(a, b boughtItem) int { return cmp.Compare(a.Ohms, b.Ohms) })
	return items
}

// held is the current, in amperes, that the search holds a network of so many ohms
// against: so many times as much where that is the current at the target.
func held(n match.Need, ohms, times float64) (amperes float64) {
	for _, one := range [2]float64{times * n.Flow, n.Drop / ohms} {
		if one > amperes {
			amperes = one
		}
	}
	return amperes
}

// pieceOf is the value of a part of the plan with what is bought, and whether
// it is one of that.
func (s *setup) pieceOf(q *plan.Question, bought buy.Bought, part int) (ohms float64, piece bool) {
	if part >= len(q.Chosen) {
		return bought.Values[part-len(q.Chosen)], true
	}
	return s.Measured[q.Chosen[part]].Ohms, false
}

// withKept puts what stays in its place among the leaves.
func withKept(w wiring.Network, ohms []float64, is []bool, keep float64) ([]float64, []bool) {
	for k, l := range w.Leaves() {
		if l.ID == "kept" {
			return slices.Insert(ohms, k, keep), slices.Insert(is, k, false)
		}
	}
	return ohms, is
}

// counted adds a piece to the line of its value, with the most that any of them
// must bear.
func counted(items []boughtItem, one boughtItem) []boughtItem {
	i := slices.IndexFunc(items, func(item boughtItem) bool { return item.Ohms == one.Ohms })
	if i < 0 {
		return append(items, one)
	}
	it := &items[i]
	it.Count++
	if one.Watts > it.Watts || one.Volts > it.Volts {
		it.Position = one.Position
	}
	it.Watts, it.Volts = max(it.Watts, one.Watts), max(it.Volts, one.Volts)
	return items
}

// counterWords are the items as they are asked for over a counter; ratings are
// rounded up.
func counterWords(items []boughtItem) string {
	var out []string
	for _, it := range items {
		out = append(out, fmt.Sprintf("%d x %s, at least %s and %s", it.Count, nominal.AsSold(it.Ohms),
			quantity.Format(roundedUp(it.Watts), quantity.Watt, 2), quantity.Format(roundedUp(it.Volts), quantity.Volt, 2)))
	}
	return report.List(out)
}

// roundedUp is x with two significant digits, never less.
func roundedUp(x float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Ceil(x/step*(1-1e-12)) * step
}
