package enumerate

import "shuntwright/match/network"

// Between is a Sink for all networks from Lo to Hi. Visit returns false to end
// the walk.
type Between struct {
	Lo, Hi float64
	Visit  func(network.Network) bool
}

// Window implements Sink, a little wider than Lo to Hi.
func (b Between) Window() (lo, hi float64) { return b.Lo * (1 - 1e-12), b.Hi * (1 + 1e-12) }

// Offer implements Sink.
func (b Between) Offer(n network.Network) bool {
	return n.Value() < b.Lo || n.Value() > b.Hi || b.Visit(n)
}
