package local

import (
	"context"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
)

// box looks for what is to be put into some slots, all else staying as it is, by
// branch and bound: windows of values are cut to what the order leaves and halved,
// and what they hold is listed when it has become few enough.
type box struct {
	*Search
	slots  []int             // open
	ranges []int             // that depend on them and can be whole
	lender int               // a slot whose parts count as free too; nobody, or everybody
	fine   bool              // smaller costs count where all else is equal
	best   match.Key         // what must be bettered
	found  []network.Network // for the slots; nil: nothing comes before what was to be bettered
	until  context.Context   // it ends with that
	limit  int               // it ends after so many steps; 0: not by that
	halted bool              // it ended before everything was looked at
	steps  int

	least   match.Key     // of the node at hand
	tallies []match.Tally // of the ranges, likewise
	nodes   []*node       // by depth
}

// node is what is still possible at a point of the search.
type node struct {
	views  []view    // of the slots
	floors []float64 // of the ranges, percent: what their limits are at least
	other  match.Key // bound of the half that comes second
}

// newBox returns a box of slots that betters what is in them.
func (s *Search) newBox(lender int, fine bool, slots ...int) *box {
	b := &box{Search: s, slots: slots, lender: lender, fine: fine, until: s.late}
	if s.ideal {
		b.until = context.Background()
	}
	for _, i := range slots {
		for _, r := range s.rangesOf[i] {
			if s.whole(r, slots...) && !slices.Contains(b.ranges, r) {
				b.ranges = append(b.ranges, r)
			}
		}
	}
	b.tallies = make([]match.Tally, len(b.ranges))
	s.measure(&b.best, slots, b.ranges)
	return b
}

// run looks through all networks of up to so many parts.
func (b *box) run(most int) bool {
	root := b.node(0)
	for k, i := range b.slots {
		sh := &b.shelves[i]
		root.views[k] = view{lo: sh.lo, hi: sh.hi, fewest: sh.fewest(), most: min(most, sh.need.AtMost)}
		if sh.lo > sh.hi {
			return false
		}
	}
	b.pinAll()
	if b.bound(root) {
		b.visit(0)
	}
	for _, i := range b.slots {
		b.Values[i] = b.Needs[i].Target
	}
	return b.found != nil
}

// node returns the node of a depth.
func (b *box) node(depth int) *node {
	for len(b.nodes) <= depth {
		b.nodes = append(b.nodes, &node{views: make([]view, len(b.slots)), floors: make([]float64, len(b.ranges))})
	}
	return b.nodes[depth]
}

// bound puts the least of a node into the box, and reports whether that comes
// before the best.
func (b *box) bound(n *node) bool {
	k := &b.least
	k.Reset()
	k.Filled = len(b.slots)
	for j := range n.views {
		k.Parts += n.views[j].fewest
	}
	for j, r := range b.ranges {
		cost := b.cost(r, n.views) + n.floors[j]
		b.tallies[j] = b.order.Tally(cost)
		k.Add(b.tallies[j], cost)
	}
	return b.before(k)
}

func (b *box) before(k *match.Key) bool {
	if b.fine {
		return k.CompareAll(&b.best) < 0
	}
	return k.Compare(&b.best) < 0
}

// cost returns what range r costs at least, its limit not counted.
func (b *box) cost(r int, v []view) float64 {
	if bottom := b.corner(r, v, -1); bottom > 0 {
		return max(0, bottom-match.Rounding)
	}
	return max(0, -b.corner(r, v, +1)-match.Rounding)
}

// corner puts the slots where the error of range r is least (side -1) or greatest
// (+1) and returns that.
func (b *box) corner(r int, v []view, side int) float64 {
	for k, i := range b.slots {
		if b.Values[i] = v[k].lo; b.rising[r][i] == side {
			b.Values[i] = v[k].hi
		}
	}
	return b.ErrorOf(r)
}

// visit looks through the views of a depth, whose least is at hand.
func (b *box) visit(depth int) {
	n := b.node(depth)
	if b.halt() || !b.listAll(n) || !b.fine && len(n.views) > 1 && !b.shrink(n) {
		return
	}
	k, ok := b.choose(n.views)
	if !ok {
		return
	}
	if k < 0 {
		b.leaf(n.views)
		return
	}
	lower, upper, ok := n.views[k].parts()
	if !ok {
		return
	}
	second := upper
	hope := b.enter(depth, k, upper)
	n.other.Copy(&b.least)
	if !b.enter(depth, k, lower) || hope && n.other.CompareAll(&b.least) < 0 {
		n.other.Copy(&b.least)
		second = lower
		if !hope || !b.enter(depth, k, upper) {
			return
		}
	}
	b.visit(depth + 1)
	if b.before(&n.other) && b.enter(depth, k, second) {
		b.visit(depth + 1)
	}
}

// enter makes the node below one with one view changed, and reports whether its
// least comes before the best.
func (b *box) enter(depth, k int, part view) bool {
	n, down := b.node(depth), b.node(depth+1)
	copy(down.views, n.views)
	copy(down.floors, n.floors)
	down.views[k] = part
	return b.bound(down) && b.sharpen(down, b.slots[k])
}

// listAll lists what the views hold where that is not too much, and reports
// whether the least still comes before the best.
func (b *box) listAll(n *node) bool {
	found := false
	for k, i := range b.slots {
		if !n.views[k].listed {
			if !b.look(i, &n.views[k]) {
				return false
			}
			found = true
		}
	}
	return !found || b.bound(n) && b.sharpen(n, -1)
}

// halt counts a step, and looks at the context now and then.
func (b *box) halt() bool {
	b.steps++
	b.work++
	every := pollEvery
	if b.Limit != nil { // each step takes as long as many others
		every = 1
	}
	if b.limit > 0 && b.steps > b.limit || b.work%every == 0 && b.until.Err() != nil {
		b.halted = true
	}
	return b.halted
}

// choose returns the view to be cut in two, one that is listed if there is any, -1
// if each is down to one network; and false if one has none.
func (b *box) choose(v []view) (at int, ok bool) {
	at = -1
	most, listed := -1.0, false
	for k, i := range b.slots {
		w := &v[k]
		if only := w.only(); only != nil {
			if !b.free(*only, i, b.lender) {
				return 0, false
			}
			continue
		}
		moves := (w.hi - w.lo) / w.hi * b.weight[i]
		if w.listed && !listed || w.listed == listed && moves > most {
			at, most, listed = k, moves, w.listed
		}
	}
	return at, true
}

// leaf looks at one network a slot.
func (b *box) leaf(v []view) {
	for k := range v {
		for j := range k {
			if shares(*v[j].only(), *v[k].only()) {
				return
			}
		}
	}
	for k, i := range b.slots {
		n := v[k].only()
		b.nets[i], b.Values[i] = *n, n.Value()
	}
	b.measure(&b.least, b.slots, b.ranges)
	if b.before(&b.least) {
		b.best.Copy(&b.least)
		b.found = b.found[:0]
		for k := range v {
			b.found = append(b.found, *v[k].only())
		}
	}
	for _, i := range b.slots {
		b.nets[i] = network.Network{}
	}
}

func shares(a, b network.Network) bool {
	of, with := a.Set(), b.Set()
	return slices.ContainsFunc(of[:a.Size()], func(p int32) bool { return slices.Contains(with[:b.Size()], p) })
}
