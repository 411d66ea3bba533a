package enumerate

import (
	"context"
	"math"

	"shuntwright/match/network"
)

var inf = math.Inf(1)

// sink takes the networks found.
type sink interface {
	// Window returns the values that are wanted now; it may shrink after an
	// Offer, and never grows. It should be a few parts in 10^12 wider than what
	// is wanted, since the walk adds in another order than the networks do.
	Window() (lo, hi float64)
	// Offer takes a network whose value lies in the window but for rounding. It
	// returns false to end the walk.
	Offer(network.Network) bool
}

// request says which networks are asked for.
type request struct {
	// Leaves are the parts, and the kept value if Kept is true.
	Leaves network.Leaves
	Kept   bool
	// Order holds the drawer indexes of the parts to be used, ascending by value.
	Order []int32
	// Fewest and Most bound the number of parts, 0 to 4; 0 is the kept value alone.
	Fewest, Most int
	// Flow through the network and Drop across it must be borne; 0: not asked for.
	Flow, Drop float64
	// Endless is how many parts, the last in drawer order, a network may take again
	// and again.
	Endless int

	single *[len(ops)]func() *list // of all the parts in Order, nil where nobody has listed them
}

// pollEvery is how many steps are taken between two looks at the context.
const pollEvery = 1024

// mostHeld is how many elements of lists are held beyond need, so that memory
// stays bounded: at 32 bytes each.
const mostHeld = 1 << 22

// loose widens what is compared before a network is computed in full.
const loose = 1e-9

type walker struct {
	request
	leaves   network.Leaves
	order    []int32
	once     int // drawer indexes below it are of parts that are there once
	stressed bool
	ctx      context.Context
	sink     sink
	steps    int
	err      error
	ended    bool
	store    *store
	few      int // 0: networks are offered as they are met; else when all are, if they are so many at most
	met      []place

	// The sweep at hand.
	task     *task
	values   []float64 // of the outer operands
	outer    element   // the outer part, clashing with nothing if there is none
	op       network.Op
	lo, hi   float64 // of the sum of coordinates
	flow     float64 // what both sides must bear
	drop     float64
	possible bool
}

// store keeps lists from one task to the next, and from one walk over the same
// parts to the next.
type store struct {
	lists map[listKey]*list
	held  int // how many elements they have
}

type listKey struct {
	side     side
	op       network.Op
	from, to int
	stressed bool
	kept     [2]float64 // its value and what it bears; 0 for forms without it
}

func newStore() store { return store{lists: map[listKey]*list{}} }

// walk offers every network of the request in the sink's window exactly once,
// fewest parts first. It ends early with the context's error, or without error
// when the sink has enough. Lists are taken from a store, and left there.
func walk(ctx context.Context, r request, sink sink, from *store) error {
	return newWalker(ctx, r, sink, from).walk()
}

func newWalker(ctx context.Context, r request, sink sink, from *store) *walker {
	return &walker{request: r, leaves: r.Leaves, order: r.Order, once: len(r.Leaves.Values) - r.Endless, ctx: ctx, sink: sink, stressed: r.Flow > 0 || r.Drop > 0, store: from}
}

func (w *walker) walk() error {
	if w.err = w.ctx.Err(); w.err != nil {
		return w.err
	}
	r := &w.request
	if r.Kept && r.Fewest <= 0 {
		w.offer(w.leaves.Kept())
	}
	for m := max(1, r.Fewest); m <= r.Most && w.going(); m++ {
		for _, t := range tasks(m, r.Kept) {
			w.run(&t)
		}
	}
	return w.err
}

func (w *walker) going() bool { return w.err == nil && !w.ended }

// tick counts a step, looks at the context now and then, and reports whether
// to go on.
func (w *walker) tick() bool {
	w.steps++
	if w.steps%pollEvery == 0 && w.err == nil {
		w.err = w.ctx.Err()
	}
	return w.going()
}

// run walks one task, block by block.
func (w *walker) run(t *task) {
	w.task, w.op = t, t.op
	xs, ys := w.blocks(t.x.form), w.blocks(t.y.form)
	for i := 1; i < len(xs); i++ {
		x := w.cached(t.x, t.op, xs[i-1], xs[i], len(xs) == 2)
		for j := 1; j < len(ys) && w.going(); j++ {
			w.runBlock(x, w.cached(t.y, t.op, ys[j-1], ys[j], len(ys) == 2))
		}
	}
}

// cached returns a list, from an earlier task or walk if it was whole.
func (w *walker) cached(s side, op network.Op, from, to int, whole bool) *list {
	if s.form == single && w.single != nil {
		return w.single[op-network.Series]()
	}
	key := listKey{side: s, op: op, from: from, to: to, stressed: w.stressed}
	if s.form >= onKept {
		key.kept = [2]float64{w.leaves.KeptValue, w.leaves.KeptBearing}
	}
	st := w.store
	if l := st.lists[key]; l != nil {
		return l
	}
	if st.held > mostHeld {
		clear(st.lists)
		st.held = 0
	}
	l := w.list(s, op, from, to)
	if whole && w.going() {
		st.lists[key] = l
		st.held += len(l.x)
	}
	return l
}

// runBlock loops over the outer part, if the task has one, and sweeps.
func (w *walker) runBlock(x, y *list) {
	w.values = make([]float64, len(w.task.outer))
	w.outer = element{-1, -1}
	loop := -1
	for k, o := range w.task.outer {
		if o.what.form == nothing {
			w.values[k] = w.leaves.KeptValue
		} else {
			loop = k
		}
	}
	if loop < 0 {
		if w.refresh() {
			w.sweep(x, y, 0)
		}
		return
	}
	o := w.task.outer[loop]
	list := w.cached(o.what, o.op, 0, len(w.order), true)
	for i, e := range list.of {
		if !w.tick() {
			return
		}
		w.values[loop] = w.build(o.what.form, o.what.root, e).Value()
		w.outer = e
		if !w.refresh() {
			continue
		}
		from := 0
		if w.task.rule == rising {
			from = i
		}
		w.sweep(x, y, from)
	}
}

// refresh computes the span of the sweep at hand from the sink's window, and
// reports whether anything can lie in it.
func (w *walker) refresh() bool {
	d := demand{flow: w.Flow, drop: w.Drop}
	d.lo, d.hi = w.sink.Window()
	w.possible = false
	for k, o := range w.task.outer {
		if w.stressed && !w.outerBears(d, o) {
			return false
		}
		if d = d.without(o.op, w.values[k]); d.empty() {
			return false
		}
	}
	w.lo, w.hi = d.span(w.op)
	w.flow, w.drop = d.each(w.op)
	w.flow, w.drop = w.flow*(1-loose), w.drop*(1-loose)
	w.possible = true
	return true
}

// outerBears reports whether an outer operand bears what d asks of it.
func (w *walker) outerBears(d demand, o operand) bool {
	var n network.Network
	if o.what.form == nothing {
		n = w.leaves.Kept()
	} else {
		n = w.build(o.what.form, o.what.root, w.outer)
	}
	flow, drop := d.each(o.op)
	return n.Bears() >= flow*(1-loose) && n.Bears()*n.Value() >= drop*(1-loose)
}
