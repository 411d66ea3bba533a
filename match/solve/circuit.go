package solve

import (
	"slices"

	"shuntwright/match"
	"shuntwright/match/branch"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// mostHeld is how many networks are listed for one position at most.
const mostHeld = 1 << 17

// circuit is some slots and the ranges that depend on them.
type circuit struct {
	*objective.Objective
	slots  []int
	ranges []int
}

// windows are the values that networks of the slots may have, and their numbers
// of parts.
type windows struct {
	lo, hi       []float64
	fewest, most []int
}

// before asks package branch for the first choice from the lists that comes before
// a bar, nil if there is none; complete says that it looked at everything.
func (c *circuit) before(lists [][]network.Network, bar match.Key) (nets []network.Network, complete bool) {
	a, err := branch.Solve(c.Context, c.question(lists, &branch.Bar{Order: c.Order(), Key: bar}))
	if err != nil || !a.Found {
		return nil, err == nil && a.Exact
	}
	return network.Pick(lists, a.Chosen), a.Exact
}

// windows returns what the needs allow.
func (c *circuit) windows() windows {
	n := len(c.Needs)
	w := windows{make([]float64, n), make([]float64, n), make([]int, n), make([]int, n)}
	for i, need := range c.Needs {
		w.lo[i], w.hi[i] = c.Wanted.Reach(need)
		if w.most[i] = need.AtMost; !need.Keeps() {
			w.fewest[i] = 1
		}
	}
	return w
}

// of returns the circuit's networks among those of all slots.
func (c *circuit) of(all []network.Network) []network.Network {
	out := make([]network.Network, len(c.slots))
	for k, i := range c.slots {
		out[k] = all[i]
	}
	return out
}

// count puts the key of the circuit's slots and ranges with these networks into k.
func (c *circuit) count(k *match.Key, nets []network.Network) {
	all := make([]network.Network, len(c.Needs))
	k.Reset()
	for j, i := range c.slots {
		all[i] = nets[j]
		if !nets[j].IsZero() {
			k.Filled++
		}
		k.Parts += nets[j].Size()
	}
	c.Judge(all)
	for _, r := range c.ranges {
		if slices.ContainsFunc(c.SlotsOf[r], func(i int) bool { return all[i].IsZero() }) {
			continue
		}
		cost := c.Cost(r)
		k.Add(c.Order().Tally(cost), cost)
	}
}

// list lists the networks in the windows, ascending by value, and returns false if
// they are more than so many or the context ends.
func (c *circuit) list(w windows, most int) (lists [][]network.Network, complete bool) {
	for _, i := range c.slots {
		var list []network.Network
		for m := w.fewest[i]; m <= w.most[i]; m++ {
			if !c.Finder.Each(c.Context, c.Needs[i], m, w.lo[i], w.hi[i], func(n network.Network) bool {
				list = append(list, n)
				return len(list) <= most
			}) || len(list) > most {
				return nil, false
			}
		}
		most -= len(list)
		lists = append(lists, c.Distinct(list))
	}
	return lists, true
}

// parts returns how few parts networks of all slots take at least.
func (c *circuit) parts() (n int) {
	w := c.windows()
	for _, i := range c.slots {
		n += w.fewest[i]
	}
	return n
}

// question puts the circuit into the words of package branch, with the parts of the
// lists counted from 0.
func (c *circuit) question(lists [][]network.Network, bar *branch.Bar) branch.Problem {
	number, attributes := map[int]int32{}, 0
	p := branch.Problem{Slots: make([][]branch.Candidate, len(lists)), Ranges: len(c.ranges), Bar: bar, Budget: 1 << 62,
		Response: &part{c, make([]float64, len(c.Needs))}}
	for k, list := range lists {
		for _, n := range list {
			var parts []int32
			for _, q := range n.Parts() {
				if _, ok := number[q]; !ok {
					number[q] = int32(len(number))
				}
				parts = append(parts, number[q])
			}
			slices.Sort(parts)
			of := c.attributes(c.slots[k], n)
			p.Slots[k] = append(p.Slots[k], branch.Candidate{Value: n.Value(), Parts: parts, Attributes: of})
			attributes = len(of)
		}
	}
	p.Parts = len(number)
	if c.Limit != nil {
		p.Limits = c.doubt(lists, attributes)
	}
	return p
}

// part is the response of a circuit alone.
type part struct {
	*circuit
	values []float64
}

func (p *part) Errors(dst, ohms []float64) {
	for r := range dst {
		dst[r] = p.ErrorOf(r, ohms)
	}
}

func (p *part) ErrorOf(r int, ohms []float64) float64 {
	for k, i := range p.slots {
		p.Values[i] = ohms[k]
	}
	return p.Objective.ErrorOf(p.ranges[r])
}

func (p *part) Rising(r, s int) int { return p.Response.Rising(p.ranges[r], p.slots[s]) }
