package local

import (
	"math"
	"sort"

	"shuntwright/match/network"
)

// view is a window of values of one slot, for networks of some numbers of parts.
type view struct {
	lo, hi       float64
	fewest, most int // parts
	of           *rack
	from, to     int  // the networks are those of the rack from from to below to with at most so many parts
	listed       bool // else it is not known what the networks are
}

// list puts networks of a rack into a view, and reports false if there is nothing
// in it.
func (v *view) list(r *rack, from, to int) bool {
	for from < to && r.list[from].Size() > v.most {
		from++
	}
	for from < to && r.list[to-1].Size() > v.most {
		to--
	}
	v.of, v.from, v.to, v.listed = r, from, to, true
	if from == to {
		return false
	}
	v.lo, v.hi, v.fewest = r.list[from].Value(), r.list[to-1].Value(), r.fewest(from, to)
	return true
}

// only returns the network that a view is down to, nil where it has more.
func (v *view) only() *network.Network {
	if v.listed && v.to == v.from+1 {
		return &v.of.list[v.from]
	}
	return nil
}

// allow leaves a view no networks with more parts than so many, and reports false
// if there is nothing left.
func (v *view) allow(most int) bool {
	if most >= v.most {
		return true
	}
	if v.most = most; v.listed {
		return v.list(v.of, v.from, v.to)
	}
	return v.fewest <= most
}

// parts cuts a view in two: by the number of parts where there are too many to be
// listed, else by value. It reports false where it cannot be cut.
func (v *view) parts() (lower, upper view, ok bool) {
	lower, upper = *v, *v
	switch {
	case v.listed:
		mid := (v.from + v.to) / 2
		lower.list(v.of, v.from, mid)
		upper.list(v.of, mid, v.to)
		return lower, upper, true
	case v.fewest < v.most:
		lower.most = max(v.fewest, min(fewParts, v.most-1))
		upper.fewest = lower.most + 1
	default:
		lower.hi = max(v.lo, math.Sqrt(v.lo)*math.Sqrt(v.hi))
		upper.lo = math.Nextafter(lower.hi, math.Inf(1))
		return lower, upper, upper.lo <= upper.hi && v.hi-v.lo > oneValue*v.hi // else more networks of one value than anybody lists
	}
	return lower, upper, true
}

// oneValue is how far apart, relatively, values are that may be one but for
// rounding: equal parts make many networks of it, which no cut tells apart.
const oneValue = 4e-12

// notable is the fraction of a window that must go for the others to be looked at
// again.
const notable = 8

// trim cuts one end of a window back to where values are good; at the other end
// they are. It reports whether a notable part went, and false if nothing is left.
func (v *view) trim(upper bool, good func(float64) bool) (moved, ok bool) {
	near, far := v.lo, v.hi
	if !upper {
		near, far = far, near
	}
	if good(far) {
		return false, true
	}
	if n := v.to - v.from; v.listed {
		at := v.from + sort.Search(n, func(j int) bool { return good(v.of.list[v.from+j].Value()) != upper })
		if upper {
			ok = v.list(v.of, v.from, at)
		} else {
			ok = v.list(v.of, at, v.to)
		}
		return (n-(v.to-v.from))*notable > n, ok
	}
	width := v.hi - v.lo
	for range 12 {
		if mid := near + (far-near)/2; good(mid) {
			near = mid
		} else {
			far = mid
		}
	}
	if upper {
		v.hi = far
	} else {
		v.lo = far
	}
	return (width-(v.hi-v.lo))*notable > width, true
}

// look lists what a view holds if it is not too much, or at least finds out how
// few parts a network has at least. It reports false if there is nothing in it.
func (b *box) look(i int, v *view) bool {
	if v.listed {
		return true
	}
	if r, from, to, ok := b.between(i, v.fewest, v.most, v.lo, v.hi); ok {
		return v.list(r, from, to)
	}
	for v.fewest < v.most {
		if _, from, to, ok := b.between(i, v.fewest, v.fewest, v.lo, v.hi); !ok || from < to {
			return true
		}
		v.fewest++
	}
	return v.fewest <= network.MaxParts
}
