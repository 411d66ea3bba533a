// Package pack answers whether every group can get one of its items within the room there is.
//
// # How it works
//
// A search that learns from its failures (conflict-driven clause learning) over literals "this item is taken" and "this item is
// not taken". Room is watched natively: once the items taken leave no room for another, that one is ruled out. After every
// decision a linear relaxation, with cuts that see odd sets of resources, is asked whether fractions of the remaining items could
// do; if not, its proof says which of the items ruled out were to blame, and that is learnt like any other failure. Where the
// relaxation has a solution, its fractions say what to try next.
//
// # Why it is exact
//
// A choice is checked against the room in integers. The relaxation is computed in float64, but its proofs are not trusted: the
// prices it gives the resources are rounded to integers, and a failure counts only if, in integers, the cheapest items left in all
// groups together cost more than all the room is worth. Cuts follow from halving and rounding down the sum of some rows, in
// integers too. Everything else is clause logic.
package pack

import "context"

// Item lists the resources that an item takes one unit of each; a resource named twice gives two units.
type Item []int32

// Problem asks for one item of every group.
type Problem struct {
	Groups [][]Item
	Room   []int32 // how many units of each resource there are
}

// Find returns an item of every group that together stay within the room, as indexes into the groups, or nil if there is no
// such choice. The error is that of the context.
func Find(ctx context.Context, p Problem) ([]int, error) {
	s := newSearch(ctx, p)
	if s == nil {
		return nil, nil
	}
	yes, err := s.run()
	if err != nil || !yes {
		return nil, err
	}
	picks := make([]int, len(p.Groups))
	for item, v := range s.value {
		if v == taken {
			picks[s.group[item]] = int(s.origin[item])
		}
	}
	return picks, nil
}
