package local

import (
	"cmp"
	"context"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
)

// How many networks of a slot are listed at a time: pairs of few parts all at once,
// which saves asking again; of many parts fewer, since most asked for are too many.
const (
	mostOfFew  = 4096
	mostOfMany = 1024
	fewInAll   = 500
)

// mostListed is how many networks of a slot are listed at a time.
func (s *Search) mostListed() int {
	if s.Wanted.Len() <= fewInAll {
		return mostOfFew
	}
	return mostOfMany
}

// shelf holds the networks that have been looked for for one slot.
type shelf struct {
	need   match.Need
	lo, hi float64                                          // what their values lie between at all
	racks  [network.MaxParts + 1][network.MaxParts + 1]rack // by the fewest and the most parts
}

// rack holds all networks of some numbers of parts whose values lie from lo to hi,
// ascending. There are none at first: lo is greater.
type rack struct {
	lo, hi  float64
	list    []network.Network
	upTo    [network.MaxParts + 1][]int32 // for each number of parts, how many of the first have no more
	spans   *spans                        // of their attributes; nil: not asked for as yet
	crowded span                          // the narrowest window that was found to hold too many
}

// fewest returns how few parts one of the networks from from to below to has,
// and how many the last of them have at most.
func (r *rack) fewest(from, to int) int {
	for m := range r.upTo {
		if r.upTo[m][to] > r.upTo[m][from] {
			return m
		}
	}
	return network.MaxParts
}

// count fills in upTo.
func (r *rack) count() {
	for m := range r.upTo {
		r.upTo[m] = make([]int32, len(r.list)+1)
		for j := range r.list {
			r.upTo[m][j+1] = r.upTo[m][j]
			if r.list[j].Size() <= m {
				r.upTo[m][j+1]++
			}
		}
	}
}

// span is the values from lo to hi; none where lo is greater.
type span struct{ lo, hi float64 }

func newShelf(n match.Need, least, most float64) shelf {
	sh := shelf{need: n}
	sh.lo, sh.hi = n.Span(least, most)
	for f := range sh.racks {
		for m := range sh.racks[f] {
			sh.racks[f][m].lo, sh.racks[f][m].crowded = 1, span{0, -1}
		}
	}
	return sh
}

// fewest is how many parts a network of the slot has at least.
func (sh *shelf) fewest() int {
	if sh.need.Keeps() {
		return 0
	}
	return 1
}

// between returns a rack and where in it all networks of from fewest to most parts
// for slot i with values from lo to hi are, or false if they are too many.
func (s *Search) between(i, fewest, most int, lo, hi float64) (r *rack, from, to int, ok bool) {
	sh := &s.shelves[i]
	lo, hi = max(lo, sh.lo), min(hi, sh.hi)
	r = &sh.racks[fewest][most]
	if lo > hi {
		return r, 0, 0, true
	}
	if lo < r.lo || hi > r.hi {
		wide := 2 * (hi - lo)
		if !(most <= fewParts && s.list(sh, fewest, most, sh.lo, sh.hi)) && !s.list(sh, fewest, most, max(lo-wide, sh.lo), min(hi+wide, sh.hi)) && !s.list(sh, fewest, most, lo, hi) {
			return nil, 0, 0, false
		}
	}
	from, _ = slices.BinarySearchFunc(r.list, lo, func(n network.Network, v float64) int { return cmp.Compare(n.Value(), v) })
	to, _ = slices.BinarySearchFunc(r.list[from:], hi, func(n network.Network, v float64) int {
		if n.Value() <= v {
			return -1
		}
		return 1
	})
	return r, from, from + to, true
}

// list fills a rack for one window, and reports false if that holds too many.
func (s *Search) list(sh *shelf, fewest, most int, lo, hi float64) bool {
	r := &sh.racks[fewest][most]
	if r.crowded.lo >= lo && r.crowded.hi <= hi {
		return false
	}
	ctx, need := s.late, sh.need
	if need.AtMost = most; most <= fewParts {
		ctx = context.Background()
	}
	nets, few, err := s.Finder.Few(ctx, need, fewest, lo, hi, s.mostListed(), s.met[:0])
	if s.met = nets; err != nil {
		return false
	}
	if !few {
		if c := r.crowded; c.lo > c.hi || hi-lo < c.hi-c.lo {
			r.crowded = span{lo, hi}
		}
		return false
	}
	slices.SortFunc(nets, network.ByValue)
	*r = rack{lo: lo, hi: hi, list: slices.Clone(nets), crowded: r.crowded}
	r.count()
	return true
}
