package match

import "shuntwright/match/network"

// Choice is one network of an answer, with its Error (value - target) / target
// as a fraction.
type Choice struct {
	Network network.Network
	Error   float64 // (value - target) / target, a fraction
}
