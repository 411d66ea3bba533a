package enumerate

import (
	"slices"

	"shuntwright/match/network"
)

// form is a kind of small network, of none, one or two parts and perhaps the
// kept value; all of one form make a list.
type form uint8

const (
	nothing      form = iota
	single            // p
	pairSeries        // p + q
	pairParallel      // p || q
	onKept            // kept ∘ p
	flatKept          // kept ∘ p ∘ q
	tuckedKept        // kept ∘ (p ∘' q), ∘' being the other operation
	nestedKept        // (kept ∘' p) ∘ q
)

// pair returns the form of two parts joined by op.
func pair(op network.Op) form {
	if op == network.Series {
		return pairSeries
	}
	return pairParallel
}

// element is a member of a list: the ranks of its parts, ascending but for
// nestedKept; p = q where there is one part or one of them twice, and -1 where
// there is none.
type element struct{ p, q int32 }

// clash tells whether two elements need the same part, of which there is one.
func (w *walker) clash(e, f element) bool {
	return e.p >= 0 && (w.same(e.p, f.p) || w.same(e.p, f.q) || w.same(e.q, f.p) || w.same(e.q, f.q))
}

func (w *walker) same(p, q int32) bool { return p == q && !w.again(p) }

// again tells whether the part of a rank may be taken again and again.
func (w *walker) again(rank int32) bool { return int(w.order[rank]) >= w.once }

func (e element) first() int32 { return min(e.p, e.q) }
func (e element) last() int32  { return max(e.p, e.q) }

// list holds the networks of one form, ascending by their coordinate.
type list struct {
	x     []float64
	of    []element
	bears []float64 // largest flow of each; nil where no stress is asked for
	drops []float64 // largest drop of each; nil likewise
	form  form
	root  network.Op // operation at the root of forms with the kept value
}

// build returns the network that e stands for in a list of the given form.
func (w *walker) build(f form, root network.Op, e element) network.Network {
	l := &w.leaves
	switch f {
	case nothing:
		return network.Network{}
	case single:
		return w.part(e.p)
	case pairSeries:
		return l.Join(network.Series, w.part(e.p), w.part(e.q))
	case pairParallel:
		return l.Join(network.Parallel, w.part(e.p), w.part(e.q))
	case onKept:
		return l.Join(root, l.Kept(), w.part(e.p))
	case flatKept:
		return l.Join(root, l.Join(root, l.Kept(), w.part(e.p)), w.part(e.q))
	case tuckedKept:
		return l.Join(root, l.Kept(), l.Join(root.Dual(), w.part(e.p), w.part(e.q)))
	default: // nestedKept
		return l.Join(root, l.Join(root.Dual(), l.Kept(), w.part(e.p)), w.part(e.q))
	}
}

// part returns the network that is the part of the given rank.
func (w *walker) part(rank int32) network.Network {
	return w.leaves.Part(int(w.order[rank]))
}

// side says which list a walk needs on one side.
type side struct {
	form form
	root network.Op
}

// blockPairs is how many pairs a list holds at most; longer ones are walked in
// blocks, so that memory stays bounded.
var blockPairs = 1 << 22 // tests make it small

// blocks returns the bounds of the blocks of first parts in which the lists of
// a form are made; consecutive bounds enclose one block.
func (w *walker) blocks(f form) []int {
	n := len(w.order)
	if f < pairSeries || f == onKept {
		return []int{0, n}
	}
	rows := max(1, blockPairs/max(1, n))
	out := []int{0}
	for at := rows; at < n; at += rows {
		out = append(out, at)
	}
	return append(out, n)
}

// list makes the list of one block of a side in the coordinate of op.
func (w *walker) list(s side, op network.Op, from, to int) *list {
	out := &list{form: s.form, root: s.root}
	out.grow(w.size(s.form, from, to), w.stressed)
	w.fill(out, op, from, to)
	if !slices.IsSorted(out.x) {
		out.sort(w.tick)
	}
	return out
}

// size returns how long the list of a block is, but for what takes a part again.
func (w *walker) size(f form, from, to int) int {
	n := len(w.order)
	switch f {
	case nothing:
		return 1
	case single, onKept:
		return n
	case nestedKept:
		return (to - from) * (n - 1)
	}
	return (to - from) * (2*n - from - to - 1) / 2
}

func (l *list) grow(n int, stressed bool) {
	l.x, l.of = make([]float64, 0, n), make([]element, 0, n)
	if stressed {
		l.bears, l.drops = make([]float64, 0, n), make([]float64, 0, n)
	}
}

func (w *walker) fill(out *list, op network.Op, from, to int) {
	n := int32(len(w.order))
	switch out.form {
	case nothing:
		out.x, out.of = append(out.x, 0), append(out.of, element{-1, -1})
		if w.stressed {
			out.bears, out.drops = append(out.bears, inf), append(out.drops, inf)
		}
	case single, onKept:
		for p := range n {
			if op == network.Parallel {
				p = n - 1 - p
			}
			w.add(out, op, element{p, p})
		}
	default:
		for p := int32(from); p < int32(to) && w.err == nil; p++ {
			q := p
			if out.form == nestedKept {
				q = 0
			}
			for ; q < n && w.tick(); q++ {
				if q != p || w.again(p) {
					w.add(out, op, element{p, q})
				}
			}
		}
	}
}

func (w *walker) add(out *list, op network.Op, e element) {
	n := w.build(out.form, out.root, e)
	out.x = append(out.x, coordinate(op, n.Value()))
	out.of = append(out.of, e)
	if w.stressed {
		out.bears = append(out.bears, n.Bears())
		out.drops = append(out.drops, n.Bears()*n.Value())
	}
}

// singles lists parts, in this order ascending, in the coordinate of an operation.
func singles(values, bears []float64, order []int32, op network.Op) *list {
	out := &list{form: single}
	out.grow(len(order), true)
	for k := range order {
		p := k
		if op == network.Parallel {
			p = len(order) - 1 - k
		}
		v, most := values[order[p]], bears[order[p]]
		out.x, out.of = append(out.x, coordinate(op, v)), append(out.of, element{int32(p), int32(p)})
		out.bears, out.drops = append(out.bears, most), append(out.drops, most*v)
	}
	return out
}

// sort puts the list in ascending order of coordinates, equal ones in the order
// they have. When going turns false, which ends the walk, it stops caring.
func (l *list) sort(going func() bool) {
	at := make([]int32, len(l.x))
	for i := range at {
		at[i] = int32(i)
	}
	slices.SortFunc(at, func(i, j int32) int {
		switch {
		case !going():
			return 0
		case l.x[i] < l.x[j]:
			return -1
		case l.x[i] > l.x[j]:
			return 1
		}
		return int(i - j)
	})
	l.x = permuted(l.x, at)
	l.of = permuted(l.of, at)
	l.bears = permuted(l.bears, at)
	l.drops = permuted(l.drops, at)
}

func permuted[T any](s []T, at []int32) []T {
	if s == nil {
		return nil
	}
	out := make([]T, len(s))
	for i, j := range at {
		out[i] = s[j]
	}
	return out
}
