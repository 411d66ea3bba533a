// Package network holds series-parallel networks of up to four parts, with or
// without a value that stays in place, in one canonical form each.
//
// Canonical form: operands stand in the order of their smallest drawer index,
// and the kept value comes first. A network is always computed in that order,
// so the same network has the same float64 however it was found.
package network

import (
	"cmp"
	"slices"
)

// Op is how the operands of a network are joined.
type Op uint8

// The operations. A Leaf joins nothing.
const (
	Leaf Op = iota
	Series
	Parallel
)

// Dual returns Parallel for Series and Series for Parallel.
func (o Op) Dual() Op { return Series + Parallel - o }

// Kept is the index of the kept value among the leaves of a Tree.
const Kept = -1

// MaxParts is the largest number of parts a network holds.
const MaxParts = 4

// maxLeaves counts the kept value too.
const maxLeaves = MaxParts + 1

// Network is one series-parallel network: labelled leaves, their arrangement,
// and the value it has. It is comparable: two networks of one stock and one
// kept value are equal exactly if they are the same network. The zero Network
// stands for none.
//
// The arrangement is coded by the gaps between neighbouring leaves, left to
// right: level[i] is the depth of the node that joins leaf i and leaf i+1,
// the root being 0. Operations alternate with depth, so op and the levels say all.
type Network struct {
	value, bears float64
	leaf         [maxLeaves]int32
	level        [maxLeaves - 1]uint8
	leaves       uint8
	op           Op
}

// Value returns the value in the unit of the parts, or 0 for the zero Network.
func (n Network) Value() float64 { return n.value }

// Bears returns the largest flow through the whole network at which no leaf
// exceeds what it bears; +Inf where nothing limits it.
func (n Network) Bears() float64 { return n.bears }

// IsZero reports whether this is the zero Network, which stands for none.
func (n Network) IsZero() bool { return n.leaves == 0 }

// HasKept reports whether the kept value is one of the leaves.
func (n Network) HasKept() bool { return n.leaves > 0 && n.leaf[0] == Kept }

// Size returns the number of parts, the kept value not counted.
func (n Network) Size() int {
	if n.HasKept() {
		return int(n.leaves) - 1
	}
	return int(n.leaves)
}

// sorted returns the drawer indexes in ascending order, and how many they are.
func (n Network) sorted() ([MaxParts]int32, int) {
	var p [MaxParts]int32
	k := 0
	for _, l := range n.leaf[:n.leaves] {
		if l == Kept {
			continue
		}
		i := k
		for ; i > 0 && p[i-1] > l; i-- {
			p[i] = p[i-1]
		}
		p[i] = l
		k++
	}
	return p, k
}

// Parts returns the drawer indexes of the parts in ascending order.
func (n Network) Parts() []int {
	p, k := n.sorted()
	out := make([]int, k)
	for i, l := range p[:k] {
		out[i] = int(l)
	}
	return out
}

// Set is a set of parts as a comparable value: ascending drawer indexes, the
// places behind the last one -1.
type Set [MaxParts]int32

// Set returns the parts of the network; the first Size places are filled.
func (n Network) Set() Set {
	p, k := n.sorted()
	for i := k; i < MaxParts; i++ {
		p[i] = -1
	}
	return p
}

// Apart returns the index of the first network by which so many share no part
// among themselves, taking each in turn that shares none with those taken
// before; a network without parts is as good as any number of them. It returns
// len(nets) if there are not so many.
func Apart(nets []Network, wanted int) int {
	used := map[int32]bool{}
	for i, n := range nets {
		set := n.Set()
		parts := set[:n.Size()]
		if slices.ContainsFunc(parts, func(p int32) bool { return used[p] }) {
			continue
		}
		for _, p := range parts {
			used[p] = true
		}
		if wanted--; wanted <= 0 || len(parts) == 0 {
			return i
		}
	}
	return len(nets)
}

// Compare orders networks that are equally good: fewer parts first, then the
// sorted drawer indexes as words in a dictionary, and at last, so that the
// order is total, the arrangement. It returns -1, 0 or +1.
func Compare(a, b Network) int {
	pa, ka := a.sorted()
	pb, kb := b.sorted()
	if c := cmp.Compare(ka, kb); c != 0 {
		return c
	}
	for i := range ka {
		if c := cmp.Compare(pa[i], pb[i]); c != 0 {
			return c
		}
	}
	return compareShape(a, b)
}

// ByValue orders networks by value, ascending, and equal ones as Compare does.
func ByValue(a, b Network) int {
	if c := cmp.Compare(a.value, b.value); c != 0 {
		return c
	}
	return Compare(a, b)
}

func compareShape(a, b Network) int {
	if c := cmp.Compare(a.op, b.op); c != 0 {
		return c
	}
	for i := range a.level {
		if c := cmp.Compare(a.level[i], b.level[i]); c != 0 {
			return c
		}
	}
	for i := range a.leaf {
		if c := cmp.Compare(a.leaf[i], b.leaf[i]); c != 0 {
			return c
		}
	}
	return 0
}

// Tree is a network taken apart, for those who print it.
type Tree struct {
	Op   Op
	Part int    // of a Leaf: its drawer index, or Kept
	Of   []Tree // of Series and Parallel: at least two operands, none with the same Op
}

// Tree returns the canonical tree; the zero Network gives the zero Tree with
// Part 0, so ask IsZero first.
func (n Network) Tree() Tree {
	if n.leaves == 0 {
		return Tree{}
	}
	return n.tree(0, int(n.leaves), 0, n.op)
}

func (n Network) tree(lo, hi int, depth uint8, op Op) Tree {
	if hi-lo == 1 {
		return Tree{Op: Leaf, Part: int(n.leaf[lo])}
	}
	t := Tree{Op: op}
	for start := lo; start < hi; {
		end := n.operandEnd(start, hi, depth)
		t.Of = append(t.Of, n.tree(start, end, depth+1, op.Dual()))
		start = end
	}
	return t
}

// operandEnd returns where the operand that starts at leaf start ends, within
// a node at the given depth whose last leaf is hi-1.
func (n *Network) operandEnd(start, hi int, depth uint8) int {
	for i := start; i < hi-1; i++ {
		if n.level[i] == depth {
			return i + 1
		}
	}
	return hi
}

// Pick returns of each list the network at an index, the zero Network where that
// is negative.
func Pick(from [][]Network, at []int) []Network {
	out := make([]Network, len(from))
	for i, k := range at {
		if k >= 0 {
			out[i] = from[i][k]
		}
	}
	return out
}
