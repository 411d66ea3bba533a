package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match/buy"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// toBeHad is the largest current, in amperes, that a part as sold may carry: by
// the derated share of its watts, and by its limiting element voltage. It is told
// from the current at full scale of a range that reads true; one that reads high
// by the whole class, in percent, carries so much more.
func (c *call) toBeHad(ohms, class float64) float64 {
	o := &c.options
	return min(math.Sqrt(o.derate*o.buyWatts.base()/ohms), o.buyVolts.base()/ohms) / (1 + 1.1*class/100)
}

// boughtItems are the pieces of a choice with what each must bear: its
// dissipation at full scale over the derated share, and the voltage across it.
func (s *setup) boughtItems(q *plan.Question, bought buy.Bought, derate float64) []boughtItem {
	if !bought.Found {
		return nil
	}
	var items []boughtItem
	whole := s.Ohms()
	for slot, n := range bought.Plan.Networks {
		whole[q.Open[slot]] = n.Value()
	}
	carried := s.Meter.Predict(whole).Positions // with these values, not with the targets
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
		for k, x := range ohms {
			if flow := amperes[k] * carried[q.Open[slot]].Amperes; is[k] {
				items = counted(items, boughtItem{x, 1, flow * flow * x / derate, flow * x, s.Positions[q.Open[slot]].Name})
			}
		}
	}
	slices.SortStableFunc(items, func(a, b boughtItem) int { return cmp.Compare(a.Ohms, b.Ohms) })
	return items
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
		out = append(out, fmt.Sprintf("%d x %s, at least %s and %s", it.Count, report.AsSold(it.Ohms),
			quantity.Format(roundedUp(it.Watts), quantity.Watt, 2), quantity.Format(roundedUp(it.Volts), quantity.Volt, 2)))
	}
	return report.List(out)
}

// roundedUp is x with two significant digits, never less.
func roundedUp(x float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Ceil(x/step*(1-1e-12)) * step
}
