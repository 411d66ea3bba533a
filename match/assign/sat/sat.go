// Package sat answers whether every group can get one of its items within the
// room there is.
//
// # How it works
//
// A search that learns from its failures (conflict-driven clause learning) over
// literals "this item is taken" and "this item is not taken". Room is watched
// natively: once the items taken leave no room for another, that one is ruled
// out. After every decision a linear relaxation is asked whether fractions of
// the remaining items could do; if not, its proof is a price for every resource
// at which the items left cost more than all the room is worth, and the items
// ruled out that would have been cheap enough are what is learnt. The prices are
// kept: later they rule out, without a relaxation, what is too dear. Where the
// relaxation has a solution, its fractions say what to try next.
//
// # Why it is exact
//
// A choice is checked against the room in integers. The relaxation is computed
// in float64, but its proofs are not trusted: the prices are rounded to
// integers, and a failure counts only if it holds for these, in integers.
// Everything else is clause logic.
//
// A Solver keeps prices, scores and the basis of the relaxation from one
// question to the next; no answer depends on them, only the time it takes, and
// the choice that is found where there are several.
package sat

import "context"

// Item lists the resources that an item takes one unit of each; a resource
// named twice gives two units.
type Item []int32

// Problem asks for one item of every group.
type Problem struct {
	Groups [][]Item
	Room   []int32 // how many units of each resource there are, not negative
}

// Solver answers questions about one problem. Create it with New. It is not for
// several goroutines at once.
type Solver struct{ search search }

// New prepares a solver. The problem must not change while it is used.
func New(p Problem) *Solver {
	s := &Solver{}
	s.search.prepare(p)
	return s
}

// Find returns an item of every group that together stay within the room, as
// indexes into the groups, or nil if there is no such choice. Only items that
// allowed, by group and item, says true of are taken; nil allows all. The error
// is that of the context.
func (s *Solver) Find(ctx context.Context, allowed [][]bool) ([]int, error) {
	if !s.Start(ctx, allowed) {
		return nil, nil
	}
	return s.Search()
}

// Start begins what Find does and Search finishes. It returns false if it is
// plain that there is no choice: from the groups, the room and the prices kept,
// without relaxation or search.
func (s *Solver) Start(ctx context.Context, allowed [][]bool) bool {
	s.search.ctx = ctx
	s.search.begin(allowed)
	return s.search.open()
}

// Round, after Start, returns items that the relaxation has most of, as far as
// there is room for them, and -1 for the other groups: a start for whoever
// wants to guess a choice. It returns nil if there is no choice.
func (s *Solver) Round() []int {
	if !s.search.relax() {
		return nil
	}
	return s.search.round()
}

// Search, after Start, and perhaps Round, returns what Find does.
func (s *Solver) Search() ([]int, error) {
	yes, err := s.search.run()
	if err != nil || !yes {
		return nil, err
	}
	return s.search.picks(), nil
}
