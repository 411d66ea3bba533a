package local

import (
	"cmp"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
)

// mostListed is how many networks of one size are listed at a time.
const mostListed = 4096

// entry is a network that a slot may take.
type entry struct {
	value float64
	net   network.Network
	set   network.Set
	size  int
}

func newEntry(n network.Network) entry { return entry{n.Value(), n, n.Set(), n.Size()} }

func (e *entry) parts() []int32 { return e.set[:e.size] }

// shelf holds the networks that have been looked for for one slot.
type shelf struct {
	need   match.Need
	lo, hi float64 // what their values lie between at all
	racks  [network.MaxParts + 1]rack
}

// rack holds all networks of one number of parts whose values lie from lo to hi,
// ascending. There are none at first: lo is greater.
type rack struct {
	lo, hi             float64
	list               []entry
	crowdedLo, crowded float64 // the narrowest window that was found to hold too many
}

func newShelf(n match.Need, least, most float64) shelf {
	sh := shelf{need: n}
	sh.lo, sh.hi = n.Span(least, most)
	for m := range sh.racks {
		sh.racks[m].lo, sh.racks[m].crowdedLo = 1, -1
	}
	return sh
}

// sizes returns the numbers of parts that a network of the slot may have.
func (sh *shelf) sizes() (fewest, most int) {
	if sh.need.Keeps() {
		return 0, sh.need.AtMost
	}
	return 1, sh.need.AtMost
}

// between returns all networks of m parts for slot i with values from lo to hi,
// or false if they are too many.
func (s *Search) between(i, m int, lo, hi float64) ([]entry, bool) {
	sh := &s.shelves[i]
	lo, hi = max(lo, sh.lo), min(hi, sh.hi)
	if lo > hi {
		return nil, true
	}
	r := &sh.racks[m]
	if lo < r.lo || hi > r.hi {
		wide := 2 * (hi - lo)
		if !s.list(sh, m, sh.lo, sh.hi) && !s.list(sh, m, max(lo-wide, sh.lo), min(hi+wide, sh.hi)) && !s.list(sh, m, lo, hi) {
			return nil, false
		}
	}
	from, _ := slices.BinarySearchFunc(r.list, lo, func(e entry, v float64) int { return cmp.Compare(e.value, v) })
	to := from
	for step := len(r.list); step > 0; step /= 2 {
		for to+step <= len(r.list) && r.list[to+step-1].value <= hi {
			to += step
		}
	}
	return r.list[from:to], true
}

// list fills a rack for one window, and reports false if that holds too many.
func (s *Search) list(sh *shelf, m int, lo, hi float64) bool {
	r := &sh.racks[m]
	if r.crowdedLo >= lo && r.crowded <= hi {
		return false
	}
	var list []entry
	s.Finder.Each(sh.need, m, lo, hi, func(n network.Network) bool {
		list = append(list, newEntry(n))
		return len(list) <= mostListed
	})
	if len(list) > mostListed {
		if r.crowdedLo < 0 || hi-lo < r.crowded-r.crowdedLo {
			r.crowdedLo, r.crowded = lo, hi
		}
		return false
	}
	slices.SortFunc(list, func(a, b entry) int {
		return cmp.Or(cmp.Compare(a.value, b.value), network.Compare(a.net, b.net))
	})
	r.lo, r.hi, r.list = lo, hi, list
	return true
}
