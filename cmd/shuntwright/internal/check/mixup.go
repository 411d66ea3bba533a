package check

import (
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/meter/wiring"
)

// Mixup is a part that may have gone into a place in another's stead.
type Mixup struct {
	Position int
	For, In  string // the part that the files have there, and the one that would make what the readings say
	Network  wiring.Network
	Ohms     float64
}

// Parts are mixed up that look much alike: of values further apart than by likeness,
// or where more than mostMixups would do, it is chance that one does.
const (
	likeness   = 2
	mostMixups = 3
)

// mixups are the spare parts of which one, in the stead of one that the files have
// there, makes what the readings say of a suspect within their limit.
func (k *finding) mixups(p suspect) []Mixup {
	if p.position < 0 || !p.byReadings() || math.IsInf(p.now, 0) {
		return nil
	}
	var out []Mixup
	n, leaves := k.Networks[p.position], k.Leaves[p.position]
	for i, l := range n.Leaves() {
		if l.ID == "" || l.IsWire() {
			continue
		}
		values := asbuilt.Values(leaves)
		is := values[i]
		for _, at := range k.spare(false) {
			values[i] = k.Measured[at].Ohms
			alike := max(values[i]/is, is/values[i]) < likeness
			if ohms := n.Resistance(values); alike && math.Abs(ohms-p.now) <= p.limit {
				out = append(out, Mixup{p.position, l.ID, k.Parts[at].ID, exchanged(n, l.ID, k.Parts[at].ID), ohms})
			}
		}
	}
	if len(out) > mostMixups {
		return nil
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
