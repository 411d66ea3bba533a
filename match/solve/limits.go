package solve

import (
	"shuntwright/match"
	"shuntwright/match/network"
)

// doubt puts Problem.Limit into the words of package branch for one circuit.
type doubt struct {
	*circuit
	lists  [][]network.Network
	all    []network.Network // room for one choice
	limits []float64         // of all ranges
	box    match.Box         // of all slots
}

func (c *circuit) doubt(lists [][]network.Network, attributes int) *doubt {
	n := len(c.Needs)
	d := &doubt{circuit: c, lists: lists, all: make([]network.Network, n), limits: make([]float64, c.Objective.Ranges), box: match.NewBox(n, attributes)}
	return d
}

func (d *doubt) Limits(dst []float64, chosen []int) {
	for k, i := range d.slots {
		d.all[i] = network.Network{}
		if chosen[k] >= 0 {
			d.all[i] = d.lists[k][chosen[k]]
		}
	}
	d.Limit(d.all, d.limits)
	for k, r := range d.ranges {
		dst[k] = d.limits[r]
	}
}

func (d *doubt) Floor(r int, box *match.Box) float64 {
	if d.LimitFloor == nil {
		return 0
	}
	for k, i := range d.slots {
		d.box.Lo[i], d.box.Hi[i], d.box.Least[i], d.box.Most[i] = box.Lo[k], box.Hi[k], box.Least[k], box.Most[k]
	}
	return d.LimitFloor.Floor(d.ranges[r], &d.box)
}

// attributes returns the attributes of a network in a slot, nil where there are
// none.
func (c *circuit) attributes(slot int, n network.Network) []float64 {
	if c.Limit == nil || c.LimitFloor == nil {
		return nil
	}
	return c.LimitFloor.Attributes(nil, slot, n)
}
