package branch

import (
	"math"
	"slices"
)

// group is one slot: one of its candidates is to be taken.
type group struct {
	parts  []int32 // stride for each candidate; the part behind the last stands for none
	stride int
	live   []int32 // the candidates that are left, at least one
}

// multipliers are Lagrange multipliers of the condition that no part is used
// twice: prices of the parts, kept from one question to the next. A disjoint
// choice costs no more than all free parts together are worth; so where the
// cheapest candidates of all groups together cost more there is none, and a
// candidate that costs more above the cheapest of its group than what is left
// over is in none. That holds whatever the prices are, none being negative;
// good ones say most. They are found by raising the price of what is wanted
// twice and lowering that of what nobody wants.
type multipliers struct {
	prices []float64 // one more than there are parts: none costs nothing
	best   []float64 // the prices that left least over
	left   float64   // what they left over, rounding allowed for
	least  []float64 // what the cheapest candidate of each group costs by them
	lows   []float64
	wanted []int32
}

// newMultipliers returns multipliers by which all of so many parts cost the same.
func newMultipliers(parts int) *multipliers {
	m := &multipliers{prices: slices.Repeat([]float64{1}, parts+1), best: make([]float64, parts+1), wanted: make([]int32, parts+1)}
	m.prices[parts] = 0
	return m
}

// Prices move by these factors and stay within these ends, so that sums of them
// are exact to the fraction allowed for rounding.
const (
	dearer, cheaper = 1.25, 0.9
	lowest, highest = 1e-3, 1e3
	rounding        = 1e-9
)

// subgradientSteps is how many prices are tried at a node. They are kept from
// node to node, so that few do.
const subgradientSteps = 4

// bound tries some prices. It returns false if by one of them the groups cannot
// all be served from the free parts. There must be as many of these as there are
// prices, and every part of a candidate must be free or none.
func (m *multipliers) bound(groups []group, free []bool) bool {
	m.left = math.Inf(1)
	for range subgradientSteps {
		worth := 0.0
		for p, is := range free {
			if is {
				worth += m.prices[p]
			}
		}
		spent, twice := m.cheapest(groups), false
		left := worth - spent + rounding*worth
		if left < 0 {
			return false
		}
		if left < m.left {
			m.left = left
			copy(m.best, m.prices)
			m.least = append(m.least[:0], m.lows...)
		}
		for p, is := range free {
			switch {
			case !is:
			case m.wanted[p] > 1:
				m.prices[p], twice = min(m.prices[p]*dearer, highest), true
			case m.wanted[p] == 0:
				m.prices[p] = max(m.prices[p]*cheaper, lowest)
			}
		}
		if !twice {
			break
		}
	}
	return true
}

// cheapest lets every group take what is cheapest, and returns what they spend.
func (m *multipliers) cheapest(groups []group) float64 {
	clear(m.wanted)
	m.lows = m.lows[:0]
	spent := 0.0
	for i := range groups {
		g := &groups[i]
		low, pick := math.Inf(1), int32(0)
		for _, c := range g.live {
			if cost := g.cost(m.prices, c); cost < low {
				low, pick = cost, c
			}
		}
		for _, p := range g.of(pick) {
			m.wanted[p]++
		}
		m.lows = append(m.lows, low)
		spent += low
	}
	return spent
}

// dear reports, after bound, whether candidate c of group i costs too much to
// be in any disjoint choice.
func (m *multipliers) dear(groups []group, i int, c int32) bool {
	return groups[i].cost(m.best, c)-m.least[i] > m.left
}

func (g *group) of(c int32) []int32 { return g.parts[int(c)*g.stride : (int(c)+1)*g.stride] }

func (g *group) cost(prices []float64, c int32) float64 {
	sum := 0.0
	for _, p := range g.of(c) {
		sum += prices[p]
	}
	return sum
}
