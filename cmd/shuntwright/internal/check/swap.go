package check

import (
	"cmp"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/meter"
	"shuntwright/meter/wiring"
)

// swap is the best remedy that exchanges one of several parts in a suspect's place
// for a spare one. It takes what the files say of each part that stays: where the
// readings say otherwise, nobody knows which of them is off.
func (r *search) swap(p suspect, state meter.State) (best remedy, found bool, err error) {
	if p.position < 0 || p.byReadings() || len(p.stays.Leaves()) < 2 {
		return remedy{}, false, nil
	}
	ranges := r.served(p.resistor)
	target := r.bestOhms(p, ranges, state)
	all := r.swaps(p, target, r.flow(p, state.With(p.resistor, target)))
	slices.SortStableFunc(all, func(a, b remedy) int {
		return cmp.Compare(math.Abs(a.ohms-target), math.Abs(b.ohms-target))
	})
	for _, one := range all[:min(nearest, len(all))] {
		if one, err = r.weighed(one, ranges, state); err != nil {
			return remedy{}, false, err
		}
		if !found || one.before(best) {
			best, found = one, true
		}
	}
	return best, found, nil
}

// swaps are the exchanges of one part that come near a target in which every part
// bears the flow, in amperes, and none stays that goes on drifting.
func (r *search) swaps(p suspect, target, flow float64) (out []remedy) {
	leaves := p.stays.Leaves()
	unsteady, _ := r.unsteady(p)
	for i, l := range leaves {
		stays := func(id string) bool { return id != l.ID }
		if l.ID == "" || l.IsWire() || slices.ContainsFunc(unsteady, stays) {
			continue
		}
		values := asbuilt.Values(r.Leaves[p.position])
		for _, at := range r.chosen {
			if r.Parts[at].IsSpool() {
				continue
			}
			values[i] = r.Measured[at].Ohms
			ohms := p.stays.Resistance(values)
			if math.Abs(ohms/target-1) <= r.within && r.bear(leaves, p.stays, values, i, at, flow) {
				out = append(out, remedy{suspect: p, action: replace, network: exchanged(p.stays, l.ID, r.Parts[at].ID), ohms: ohms, parts: 1, class: r.class})
			}
		}
	}
	return out
}

// bear tells whether all parts of a network bear their share of the flow, with the
// part at in the stead of the leaf swapped.
func (r *search) bear(leaves []wiring.Network, n wiring.Network, values []float64, swapped, at int, flow float64) bool {
	shares, _ := n.Shares(values)
	for i, l := range leaves {
		part := at
		if i != swapped {
			if l.ID == "" || l.IsWire() {
				continue
			}
			part = r.Index[l.ID]
		}
		if shares[i]*flow > asbuilt.Bears(r.Parts[part], r.Measured[part].Ohms, r.derate) {
			return false
		}
	}
	return true
}
