package check

import (
	"cmp"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/meter"
	"shuntwright/meter/wiring"
)

// exchange is a network with a spare part in the stead of one of its parts.
type exchange struct {
	goes, comes string // the two parts
	network     wiring.Network
	values      []float64 // of its leaves, ohms
	ohms        float64
}

// exchanges are all for a network, of which these are the leaves, and these parts
// of the drawer.
func (k *Checkup) exchanges(n wiring.Network, leaves []asbuilt.Leaf, spare []int) []exchange {
	var out []exchange
	for i, l := range n.Leaves() {
		if l.ID == "" || l.IsWire() {
			continue
		}
		for _, at := range spare {
			values := asbuilt.Values(leaves)
			values[i] = k.Measured[at].Ohms
			out = append(out, exchange{l.ID, k.Parts[at].ID, exchanged(n, l.ID, k.Parts[at].ID), values, n.Resistance(values)})
		}
	}
	return out
}

// exchanged is a network with one part in another's stead.
func exchanged(n wiring.Network, id, by string) wiring.Network {
	if n.ID == id {
		n.ID = by
	}
	n.Of = slices.Clone(n.Of)
	for i := range n.Of {
		n.Of[i] = exchanged(n.Of[i], id, by)
	}
	return n
}

// Parts are mixed up that look much alike: of values further apart than by likeness,
// or where more than mostMixups would do, it is chance that one does.
const (
	likeness   = 2
	mostMixups = 3
)

// mixups are the spare parts of which one, in the stead of one that the files have
// there, makes what the readings say of a suspect within their limit.
func (k *Checkup) mixups(p suspect) []exchange {
	if p.position < 0 || !p.byReadings() || p.isOpen() {
		return nil
	}
	out := slices.DeleteFunc(k.exchanges(k.Networks[p.position], k.Leaves[p.position], k.spare(false)), func(x exchange) bool {
		as := k.Measured[k.Index[x.comes]].Ohms / k.Measured[k.Index[x.goes]].Ohms
		return max(as, 1/as) >= likeness || math.Abs(x.ohms-p.now) > p.limit
	})
	if len(out) > mostMixups {
		return nil
	}
	return out
}

// swap is the best remedy that exchanges one of several parts in a suspect's place
// for a spare one, if there is one. It takes what the files say of each part that
// stays: where the readings say otherwise, nobody knows which of them is off. steady:
// none may stay that goes on drifting.
func (r *search) swap(p suspect, ranges []int, state meter.State, steady bool) (best []remedy, err error) {
	if p.position < 0 || p.byReadings() || len(p.stays.Leaves()) < 2 {
		return nil, nil
	}
	target := r.bestOhms(p, ranges, state)
	all := r.bearable(p, target, r.flow(p, state.With(p.resistor, target)), steady)
	slices.SortStableFunc(all, func(a, b exchange) int { return cmp.Compare(math.Abs(a.ohms-target), math.Abs(b.ohms-target)) })
	for _, x := range all[:min(nearest, len(all))] {
		one, err := r.weighed(remedy{suspect: p, action: replace, network: x.network, ohms: x.ohms, parts: 1}, ranges, state)
		if err != nil {
			return nil, err
		}
		if best == nil || one.compare(best[0]) < 0 {
			best = []remedy{one}
		}
	}
	return best, nil
}

// bearable are the exchanges of one part that come near a target in which every part
// bears its share of the flow, in amperes, and, if steady, none stays that goes on
// drifting.
func (r *search) bearable(p suspect, target, flow float64, steady bool) []exchange {
	var unsteady []string
	if steady {
		unsteady, _ = r.unsteady(p)
	}
	return slices.DeleteFunc(r.exchanges(p.stays, r.Leaves[p.position], r.chosen), func(x exchange) bool {
		if math.Abs(x.ohms/target-1) > r.Within || slices.ContainsFunc(unsteady, func(id string) bool { return id != x.goes }) {
			return true
		}
		shares, _ := x.network.Shares(x.values)
		for i, l := range x.network.Leaves() {
			if l.ID != "" && !l.IsWire() && shares[i]*flow > asbuilt.Bears(r.Parts[r.Index[l.ID]], x.values[i], r.Derate) {
				return true
			}
		}
		return false
	})
}
