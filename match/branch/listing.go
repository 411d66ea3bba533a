package branch

import (
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/network"
)

// list holds networks that a coupled slot may take, ascending by value.
type list struct {
	nets []network.Network
	has  [network.MaxParts + 1]span // by number of parts, within what all that may be wanted are there
}

// span is the values from lo to hi; none where lo is greater.
type span struct{ lo, hi float64 }

func (s span) holds(o span) bool { return o.lo > o.hi || s.lo <= o.lo && s.hi >= o.hi }

// reach returns the values that a window leaves possible.
func (pl *planner) reach(window match.Need) span {
	lo, hi := pl.Wanted.Reach(window)
	return span{lo, hi}
}

// covered reports whether the lists have all that may be wanted in the windows.
func (pl *planner) covered(lists []list, windows []match.Need) bool {
	for i, w := range windows {
		for m := range w.AtMost + 1 {
			if !lists[i].has[m].holds(pl.reach(w)) {
				return false
			}
		}
	}
	return true
}

// listWindows lists for every slot the top networks nearest to the target of
// its window, anew where not all in the window is listed.
func (pl *planner) listWindows(lists []list, windows []match.Need, top int) []list {
	out := make([]list, len(windows))
	for i, w := range windows {
		if pl.covered(lists[i:i+1], windows[i:i+1]) {
			out[i] = lists[i].within(w)
			continue
		}
		out[i] = pl.listWindow(w, top)
	}
	return out
}

// within leaves out what is not in the window.
func (l list) within(w match.Need) list {
	l.nets = slices.DeleteFunc(slices.Clone(l.nets), func(n network.Network) bool {
		return math.Abs(n.Value()-w.Target) > w.Within*w.Target*(1+enumerate.Widening) || n.Size() > w.AtMost
	})
	return l
}

// listWindow lists the top networks nearest to the target of a window. Where
// fewer parts may matter more than errors it takes as many of every number of
// parts.
func (pl *planner) listWindow(w match.Need, top int) (l list) {
	if pl.Enough == 0 {
		pl.listSizes(&l, w, 0, w.AtMost, top)
	} else {
		pl.listSizes(&l, w, 0, min(1, w.AtMost), top/max(1, w.AtMost)) // 0: the kept value alone
		for m := 2; m <= w.AtMost; m++ {
			pl.listSizes(&l, w, m, m, top/w.AtMost)
		}
	}
	l.nets = pl.Distinct(l.nets)
	return l
}

// listSizes adds the networks of fewest to most parts.
func (pl *planner) listSizes(l *list, w match.Need, fewest, most, top int) {
	top, has := max(top, 1), pl.reach(w)
	w.AtMost = most
	got := pl.Wanted.Nearest(pl.Context, w, fewest, top)
	far := 0.0
	for _, c := range got.Choices {
		l.nets = append(l.nets, c.Network)
		far = max(far, math.Abs(c.Error))
	}
	if len(got.Choices) == top {
		far = max(far-2*enumerate.Equal, 0)
		has = span{max(has.lo, w.Target*(1-far)), min(has.hi, w.Target*(1+far))}
	}
	for m := fewest; got.Proven && m <= most; m++ {
		l.has[m] = has
	}
}

// narrowed returns windows outside of which there is no better plan than the one
// given. They are the same as before where other slots might be filled in place
// of those that the plan fills. A ring and a chain of 300 parts are 5 times
// faster for it.
func (pl *planner) narrowed(lists []list, windows []match.Need, best match.Plan) []match.Need {
	ranges, ok := pl.certain(lists, windows, best)
	if !ok {
		return windows
	}
	level := pl.level(best, ranges)
	out, ok := pl.narrow(windows, ranges, level)
	if !ok {
		return windows
	}
	if best.Worst <= pl.Enough {
		pl.spareParts(out, best)
	}
	return out
}

// certain returns the ranges that are whole in every plan that fills as many
// slots: those of the given plan, if it fills all slots for which there is any
// network at all. It reports false where that is not known.
func (pl *planner) certain(lists []list, windows []match.Need, best match.Plan) (ranges []int, ok bool) {
	for i, filled := range best.Filled {
		if !filled && (len(lists[i].nets) > 0 || !pl.covered(lists[i:i+1], windows[i:i+1])) {
			return nil, false
		}
	}
	ranges = pl.wholeRanges(best)
	return ranges, len(ranges) > 0
}

// wholeRanges returns those that a plan makes whole, of the ranges with slots.
func (pl *planner) wholeRanges(p match.Plan) (ranges []int) {
	for r, e := range p.Errors {
		if !math.IsNaN(e) && len(pl.SlotsOf[r]) > 0 {
			ranges = append(ranges, r)
		}
	}
	return ranges
}

// level is the most that any of the ranges costs in a plan that comes before the
// given one.
func (pl *planner) level(best match.Plan, ranges []int) float64 {
	pl.Judge(best.Networks)
	level := pl.Enough
	for _, r := range ranges {
		level = max(level, pl.Cost(r))
	}
	return level + match.Equal
}

// narrow leaves of the windows what can bring the ranges within a level; ok is
// false if nothing can.
func (pl *planner) narrow(windows []match.Need, ranges []int, level float64) (out []match.Need, ok bool) {
	lo, hi := make([]float64, len(windows)), make([]float64, len(windows))
	for i, w := range windows {
		s := pl.reach(w)
		lo[i], hi[i] = s.lo, s.hi
	}
	if !pl.Narrow(lo, hi, ranges, level) {
		return nil, false
	}
	out = slices.Clone(windows)
	for i, w := range windows {
		if s := pl.reach(w); lo[i] > s.lo || hi[i] < s.hi {
			out[i] = w.Between(lo[i], hi[i])
		}
	}
	return out, true
}

// spareParts lets every window have only so many parts that a plan which takes no
// more in all than the given one, good enough as it is, may use there: the other
// slots take their fewest.
func (pl *planner) spareParts(windows []match.Need, best match.Plan) {
	fewest, total := make([]int, len(windows)), 0
	for i, w := range windows {
		if best.Filled[i] {
			s := pl.reach(w)
			fewest[i] = max(0, pl.Fewest(i, s.lo, s.hi, 0))
			total += fewest[i]
		}
	}
	for i := range windows {
		windows[i].AtMost = min(windows[i].AtMost, best.Parts()-total+fewest[i])
	}
}

// listedLevel returns a level such that the networks of every plan which keeps to
// it are in the lists: what is not listed cannot be better.
func (pl *planner) listedLevel(lists []list, best match.Plan) float64 {
	windows := pl.Needs
	ranges, ok := pl.certain(lists, windows, best)
	if !ok {
		return 0
	}
	low, high := 0.0, pl.level(best, ranges)
	for range 12 {
		level := low + (high-low)/2
		narrow, possible := pl.narrow(windows, ranges, level)
		if !possible || pl.covered(lists, narrow) {
			low = level
		} else {
			high = level
		}
	}
	return low
}
