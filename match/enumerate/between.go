package enumerate

import "shuntwright/match/network"

// between is a sink for all networks from Lo to Hi. Visit returns false to end
// the walk.
type between struct {
	Lo, Hi float64
	Visit  func(network.Network) bool
}

// Window implements sink, a little wider than Lo to Hi.
func (b between) Window() (lo, hi float64) { return b.Lo * (1 - 1e-12), b.Hi * (1 + 1e-12) }

// Offer implements sink.
func (b between) Offer(n network.Network) bool {
	return n.Value() < b.Lo || n.Value() > b.Hi || b.Visit(n)
}
