package enumerate

import (
	"slices"

	"shuntwright/match/network"
)

// sweep goes up x from the given place and down y, and takes every sum of two
// coordinates within the span.
func (w *walker) sweep(x, y *list, from int) {
	same := w.task.rule == ascending || w.task.rule == rising
	j := len(y.x) - 1
	for i := from; i < len(x.x) && w.possible && w.tick(); i++ {
		xi := x.x[i]
		if xi > w.hi {
			return
		}
		if j = descend(y.x, j, w.hi-xi); j < 0 || same && j < i {
			return
		}
		if w.stressed && !w.bears(x, i) {
			continue
		}
		least := 0
		if same {
			least = i
		}
		w.row(x, y, i, j, least)
	}
}

// row takes the sums of x[i] with y[j] and downwards, to y[least] at most.
func (w *walker) row(x, y *list, i, j, least int) {
	xi := x.x[i]
	for ; j >= least && y.x[j] >= w.lo-xi && w.possible && w.tick(); j-- {
		if y.x[j] > w.hi-xi || w.stressed && !w.bears(y, j) {
			continue // the span has shrunk meanwhile, or y[j] does not bear it
		}
		if w.taken(x.of[i], y.of[j]) {
			w.hit(x.of[i], y.of[j])
		}
	}
}

// descend returns the last place not above j with x at most top, or -1, in
// steps that grow while they fail.
func descend(x []float64, j int, top float64) int {
	if j < 0 || x[j] <= top {
		return j
	}
	step := 1
	for j-step >= 0 && x[j-step] > top {
		j -= step
		step *= 2
	}
	lo := max(j-step, -1) // x[lo] <= top or lo = -1, and x[j] > top
	for j-lo > 1 {
		if m := int(uint(lo+j) / 2); x[m] > top {
			j = m
		} else {
			lo = m
		}
	}
	return lo
}

func (w *walker) bears(l *list, i int) bool {
	return l.bears[i] >= w.flow && l.drops[i] >= w.drop
}

// taken reports whether the two sides share no part, none of them the outer
// one, and this is the one labelling of several that is taken.
func (w *walker) taken(e, f element) bool {
	if w.clash(e, f) || w.clash(w.outer, e) || w.clash(w.outer, f) {
		return false
	}
	switch w.task.rule {
	case before:
		return e.last() <= f.first()
	case earlier:
		return e.first() <= f.first()
	}
	return true
}

// place is where a walk meets a network: of a task the outer part and the two sides.
type place struct {
	task        *task
	outer, x, y element
}

// hit offers the network of two sides, or keeps its place while those met are few.
func (w *walker) hit(e, f element) {
	at := place{w.task, w.outer, e, f}
	if w.few > 0 {
		w.met = append(w.met, at)
		w.ended = len(w.met) > w.few
		return
	}
	if w.offer(w.network(at)) {
		w.refresh()
	}
}

// network builds what is met at a place.
func (w *walker) network(at place) network.Network {
	t := at.task
	n := w.leaves.Join(t.op, w.build(t.x.form, t.x.root, at.x), w.build(t.y.form, t.y.root, at.y))
	for _, o := range slices.Backward(t.outer) {
		operand := w.leaves.Kept()
		if o.what.form != nothing {
			operand = w.build(o.what.form, o.what.root, at.outer)
		}
		n = w.leaves.Join(o.op, operand, n)
	}
	return n
}

// offer hands over a network that bears the stress, and reports whether it did.
func (w *walker) offer(n network.Network) bool {
	const rounding = 1e-12
	if n.Bears() < w.Flow*(1-rounding) || n.Bears()*n.Value() < w.Drop*(1-rounding) {
		return false
	}
	w.ended = !w.sink.Offer(n)
	return true
}
