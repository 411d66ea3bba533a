package local

import (
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
)

// fit looks for what is to be put into one or two open slots, all else staying as
// it is.
type fit struct {
	*Search
	slots  []int             // one or two
	ranges []int             // that depend on them and can be whole
	lender int               // a slot whose parts count as free too; nobody, or everybody
	fine   bool              // smaller costs count where all else is equal
	best   match.Key         // what must be bettered
	bound  match.Key         // room
	found  []network.Network // for the slots; nil: nothing comes before what was there
}

// view is a window of values of one slot, for networks of one number of parts.
type view struct {
	lo, hi float64
	size   int
	list   []entry // the networks, if they are listed
	listed bool
}

// views are those of the slots of a fit.
type views [2]view

// newFit returns a fit that betters what is in slots, which it opens.
func (s *Search) newFit(lender int, fine bool, slots ...int) *fit {
	f := &fit{Search: s, slots: slots, lender: lender, fine: fine}
	for _, i := range slots {
		for _, r := range s.rangesOf[i] {
			if s.whole(r, slots...) && !slices.Contains(f.ranges, r) {
				f.ranges = append(f.ranges, r)
			}
		}
	}
	s.measure(&f.best, slots, f.ranges)
	return f
}

// run tries networks of all numbers of parts up to so many, fewer first.
func (f *fit) run(most int) bool {
	var v views
	f.sizes(&v, 0, most)
	for _, i := range f.slots {
		f.Values[i] = f.Needs[i].Target
	}
	return f.found != nil
}

// sizes chooses the numbers of parts of the slots from the k-th on.
func (f *fit) sizes(v *views, k, most int) {
	if k == len(f.slots) {
		if f.promising(&f.bound, v) {
			f.search(*v, 0)
		}
		return
	}
	sh := &f.shelves[f.slots[k]]
	fewest, upTo := sh.sizes()
	for m := fewest; m <= min(most, upTo) && sh.lo <= sh.hi; m++ {
		v[k] = view{lo: sh.lo, hi: sh.hi, size: m}
		f.sizes(v, k+1, most)
	}
}

// promising puts a bound of what the views hold into k, and reports whether that
// comes before the best.
func (f *fit) promising(k *match.Key, v *views) bool {
	k.Reset()
	k.Filled = len(f.slots)
	for j := range f.slots {
		k.Parts += v[j].size
	}
	for _, r := range f.ranges {
		cost := f.least(r, v)
		k.Add(f.order.Tally(cost), cost)
	}
	return f.before(k)
}

func (f *fit) before(k *match.Key) bool {
	if f.fine {
		return k.CompareAll(&f.best) < 0
	}
	return k.Compare(&f.best) < 0
}

// least returns what range r costs at least, its limit not counted.
func (f *fit) least(r int, v *views) float64 {
	if bottom := f.corner(r, v, -1); bottom > 0 {
		return bottom
	}
	return max(0, -f.corner(r, v, +1))
}

// corner returns the least (side -1) or greatest (+1) error of range r.
func (f *fit) corner(r int, v *views, side int) float64 {
	for k, i := range f.slots {
		if f.Values[i] = v[k].lo; f.rising[r][i] == side {
			f.Values[i] = v[k].hi
		}
	}
	f.work++
	return f.ErrorOf(r)
}

// search looks through the views: it halves one of them, and looks first at the
// half whose bound comes first.
func (f *fit) search(v views, depth int) {
	k, empty := f.split(&v)
	if empty {
		return
	}
	if k < 0 {
		f.leaf(&v)
		return
	}
	lower, upper := v, v
	if lower[k], upper[k] = v[k].halves(); upper[k].lo > upper[k].hi {
		return // more networks of one value than anybody lists
	}
	a, b := f.keysAt(depth)
	first, second := f.promising(a, &lower), f.promising(b, &upper)
	if second && (!first || b.CompareAll(a) < 0) {
		lower, upper, a, b, first, second = upper, lower, b, a, second, first
	}
	if first {
		f.search(lower, depth+1)
	}
	if second && f.before(b) {
		f.search(upper, depth+1)
	}
}

// keysAt returns room for two bounds at a depth.
func (s *Search) keysAt(depth int) (a, b *match.Key) {
	for len(s.keys) <= depth {
		s.keys = append(s.keys, &[2]match.Key{})
	}
	return &s.keys[depth][0], &s.keys[depth][1]
}

// listing returns the view of a list, which is not empty.
func listing(list []entry, size int) view {
	return view{list[0].value, list[len(list)-1].value, size, list, true}
}

// halves cuts a view in two. A window that cannot be cut leaves nothing in the
// upper half.
func (v *view) halves() (lower, upper view) {
	if v.listed {
		m := len(v.list) / 2
		return listing(v.list[:m], v.size), listing(v.list[m:], v.size)
	}
	lower, upper = *v, *v
	lower.hi = max(v.lo, math.Sqrt(v.lo)*math.Sqrt(v.hi))
	upper.lo = math.Nextafter(lower.hi, math.Inf(1))
	return lower, upper
}

// split lists the views that hold few enough networks, and returns the one to be
// halved, -1 if each is down to one network; empty tells that one has none.
func (f *fit) split(v *views) (k int, empty bool) {
	k = -1
	most := -1.0
	for j, i := range f.slots {
		if !v[j].listed {
			list, ok := f.between(i, v[j].size, v[j].lo, v[j].hi)
			if ok && len(list) == 0 {
				return k, true
			}
			if ok {
				v[j] = listing(list, v[j].size)
			}
		}
		if v[j].listed && len(v[j].list) == 1 {
			if !f.free(&v[j].list[0], i, f.lender) {
				return k, true
			}
			continue
		}
		if w := (v[j].hi - v[j].lo) / v[j].hi * f.weight[i]; w > most {
			k, most = j, w
		}
	}
	return k, false
}

// leaf looks at one network a slot.
func (f *fit) leaf(v *views) {
	if len(f.slots) == 2 && f.lender != everybody && shares(&v[0].list[0], &v[1].list[0]) {
		return
	}
	for j, i := range f.slots {
		e := &v[j].list[0]
		f.nets[i], f.Values[i] = e.net, e.value
	}
	if f.measure(&f.bound, f.slots, f.ranges); f.before(&f.bound) {
		f.best.Copy(&f.bound)
		f.found = f.found[:0]
		for j := range f.slots {
			f.found = append(f.found, v[j].list[0].net)
		}
	}
	for _, i := range f.slots {
		f.nets[i] = network.Network{}
	}
}

func shares(a, b *entry) bool {
	return slices.ContainsFunc(a.parts(), func(p int32) bool { return slices.Contains(b.parts(), p) })
}
