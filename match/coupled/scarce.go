package coupled

import (
	"context"

	"shuntwright/match/coupled/candidate"
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
	packing *packing // nil: not yet prepared
	credit  int
}

// packs tells whether the candidates left at n allow a disjoint choice, as far as it is worth knowing.
func (d *dfs) packs(n *node) bool {
	q := &d.scarcity
	if d.count < patience || !d.tight() {
		return true
	}
	if d.count%recovery == 0 {
		q.credit++
	}
	if q.credit <= 0 {
		return true
	}
	if q.packing == nil {
		q.packing = newPacking(d.Gauge, d.lists, d.sc.Open)
	}
	q.credit--
	if q.packing.possible(d.Context, n, d.bound) {
		return true
	}
	q.credit += gain
	return false
}

// tight tells whether so few parts a slot are left that they may be the reason for a failure.
func (d *dfs) tight() bool {
	return 5*len(d.Tables) >= 2*d.Parts
}

// possible tells whether the candidates left at n allow a disjoint choice. Where that takes too long it says yes.
func (k *packing) possible(ctx context.Context, n *node, bound func(*node, int32) bool) bool {
	for i, list := range k.lists {
		allowed := k.allowed[i]
		clear(allowed)
		allowed[len(list)] = n.chosen[i] == candidate.Open || n.chosen[i] == candidate.Undecided && !bound(n, int32(i))
		if n.chosen[i] == candidate.Open {
			continue
		}
		j := 0
		for _, c := range n.live[i] {
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
