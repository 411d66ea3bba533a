package disjoint

import "slices"

// patience is how many options of a position are tried in place of another's.
const patience = 300

// patch looks for a choice that keeps the rules near one that need not: positions whose option is ruled out get a free one, if
// need be by moving one other position. It returns nil if that does not do, which says nothing.
func patch(c choice, r rules, parts int) choice {
	c = slices.Clone(c)
	t := newTable(parts)
	var lost []int
	for i, o := range c {
		list := r.within(i)
		if o.isOpen() || !slices.ContainsFunc(list, func(x option) bool { return x.index == o.index }) {
			lost = append(lost, i)
			continue
		}
		t.put(i, o)
	}
	for _, i := range lost {
		c[i] = open
	}
	for _, i := range lost {
		if !place(c, t, i, r) && (len(r.within(i)) == 0 || !slices.ContainsFunc(r.within(i), option.isOpen)) {
			return nil
		}
	}
	if !r.keeps(c) {
		return nil
	}
	return c
}

// place fills position i.
func place(c choice, t table, i int, r rules) bool {
	list := r.within(i)
	for _, o := range list {
		if !o.isOpen() && t.free(o) {
			c[i] = o
			t.put(i, o)
			return true
		}
	}
	for _, o := range list[:min(len(list), patience)] {
		k := t.owner(o)
		if k < 0 || o.isOpen() {
			continue
		}
		before := c[k]
		t.take(before)
		t.put(i, o)
		others := r.within(k)
		for _, x := range others[:min(len(others), patience)] {
			if !x.isOpen() && t.free(x) {
				c[i], c[k] = o, x
				t.put(k, x)
				return true
			}
		}
		t.take(o)
		t.put(k, before)
	}
	return false
}
