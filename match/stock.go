// Package match chooses networks of parts: the best ones for a single target,
// and one for each of several positions at once so that no part is used twice.
// It knows numbers and parts only. A part has a value, and networks add values
// in series and reciprocals in parallel; what the numbers mean is the caller's.
package match

import (
	"context"
	"math/big"

	"shuntwright/match/network"
	"shuntwright/match/stock"
)

// Op is how the operands of a network are joined.
type Op = network.Op

// The operations of a Tree.
const (
	Leaf     = network.Leaf
	Series   = network.Series
	Parallel = network.Parallel
)

// Kept is the index of the kept value among the leaves of a Tree.
const Kept = network.Kept

// MaxParts is the largest number of parts a network may have.
const MaxParts = network.MaxParts

// Network is one series-parallel network in canonical form; the zero Network
// stands for none. See package network.
type Network = network.Network

// Tree is a network taken apart, for those who print it.
type Tree = network.Tree

// Count returns how many networks n parts make with at most atMost of them
// each; with kept, round a kept value. See package network.
func Count(n, atMost int, kept bool) *big.Int { return network.Count(n, atMost, kept) }

// Values must lie from Smallest to Largest; see package stock.
const (
	Smallest = stock.Smallest
	Largest  = stock.Largest
)

// MaxTop is how many networks can be asked for at once.
const MaxTop = stock.MaxTop

// What is asked for one target, and answered; see package stock.
type (
	Part   = stock.Part
	Need   = stock.Need
	Query  = stock.Query
	Picked = stock.Picked
	Choice = stock.Choice
)

// Stock holds parts, ready to be searched. It does not change, so it may be
// used from several goroutines at once.
type Stock struct{ parts *stock.Stock }

// NewStock takes the parts in drawer order and keeps a copy. It returns an
// error that names the place of a part whose value or bearing is out of range;
// no parts at all is an error too.
func NewStock(parts []Part) (*Stock, error) {
	s, err := stock.New(parts)
	if err != nil {
		return nil, err
	}
	return &Stock{s}, nil
}

// Len returns the number of parts.
func (s *Stock) Len() int { return s.parts.Len() }

// Parts returns a copy of the parts in drawer order.
func (s *Stock) Parts() []Part { return s.parts.Parts() }

// Pick returns the best networks for a target: smallest |error| (plus limit)
// first; where those differ by less than 1e-11 of the target, fewer parts
// first, then the parts' order in the drawer. Differences are counted from the
// smallest one of a group, so that the order has no cycles.
//
// An error means that the query cannot be asked; a context that ends is none.
func (s *Stock) Pick(ctx context.Context, q Query) (Picked, error) { return s.parts.Pick(ctx, q) }

// Each calls visit once for every network that suits the need in all but its
// Target and Within, and whose value lies from lo to hi (0 <= lo <= hi, hi may
// be +Inf), fewest parts first and otherwise in an order that is always the
// same. It ends when visit returns false. The error is the context's, or says
// what is wrong with the need or the window.
func (s *Stock) Each(ctx context.Context, need Need, lo, hi float64, visit func(Network) bool) error {
	return s.parts.Each(ctx, need, lo, hi, visit)
}
