package scarce

import (
	"context"

	"shuntwright/match/coupled/candidate"
	"shuntwright/match/coupled/node"
)

// Where parts are scarce windows say little: every slot may have many candidates left though no disjoint choice of them exists. Package
// pack sees that, at the price of some ten thousand evaluations of the response. So it is asked only in searches that take long, and
// as long as its answers cut something off.
const (
	patience = 500  // nodes before it is asked at all
	trust    = 8    // questions before it must have cut something off
	gain     = 3    // further questions for each node cut off
	recovery = 1000 // nodes for another question
	fuel     = 1000 // how often a question may look at the context before it is given up
)

// scarcity decides when to ask about parts, and asks.
type scarcity struct {
	lists   [][]int32 // what the search looks at
	packing *Packing  // nil: not yet prepared
	credit  int
}

// Packs tells whether the candidates left at n allow a disjoint choice, as far as that is worth knowing: true may mean that it was not asked.
// Count is how many nodes the search has seen.
func (r *Rules) Packs(n *node.Node, count int) bool {
	q := &r.scarcity
	if count < patience || !r.tight() {
		return true
	}
	if count%recovery == 0 {
		q.credit++
	}
	if q.credit <= 0 {
		return true
	}
	if q.packing == nil {
		q.packing = NewPacking(r.Gauge, q.lists, r.Case.Open)
	}
	q.credit--
	if q.packing.possible(r.Context, n, r.Bound) {
		return true
	}
	q.credit += gain
	return false
}

// tight tells whether so few parts a slot are left that they may be the reason for a failure.
func (r *Rules) tight() bool {
	return 5*len(r.Tables) >= 2*r.Parts
}

// possible tells whether the candidates left at n allow a disjoint choice. Where that takes too long it says yes.
func (k *Packing) possible(ctx context.Context, n *node.Node, bound func(*node.Node, int32) bool) bool {
	for i, list := range k.lists {
		allowed := k.allowed[i]
		clear(allowed)
		allowed[len(list)] = n.Chosen[i] == candidate.Open || n.Chosen[i] == candidate.Undecided && !bound(n, int32(i))
		if n.Chosen[i] == candidate.Open {
			continue
		}
		j := 0
		for _, c := range n.Live[i] {
			for list[j] != c {
				j++
			}
			allowed[j] = true
		}
	}
	picks, err := k.solver.Find(&fuse{ctx, fuel}, k.allowed)
	return err != nil || picks != nil
}

// fuse is a context that ends after it has been looked at so often, which is the same on every machine.
type fuse struct {
	context.Context
	left int
}

func (f *fuse) Err() error {
	if f.left--; f.left < 0 {
		return context.DeadlineExceeded
	}
	return f.Context.Err()
}
