package coupled

import (
	"math"

	"shuntwright/match/coupled/candidate"
	"shuntwright/match/coupled/goal"
	"shuntwright/match/coupled/plan"
)

const (
	// rather is how many times as much as a window of values the window of a trait must matter to be halved in its place.
	rather = 4
)

// doubt is what a search remembers of limits.
type doubt struct {
	floors bool // whether there are any to ask for
	traits int
	// reach holds for each range, slot of it, trait and end of its window by how much the floor rose when that end alone was left,
	// for a window as wide as one, when last seen; +Inf: not yet.
	reach [][]float64
}

func newDoubt(s *plan.Gauge) doubt {
	q := doubt{traits: s.Traits, floors: s.Floors}
	for _, slots := range s.Links.Slots {
		row := make([]float64, 2*q.traits*len(slots))
		for i := range row {
			row[i] = math.Inf(1)
		}
		q.reach = append(q.reach, row)
	}
	return q
}

// level is what is left for the error of range r beside the floor of its limit.
func (n *node) level(r int32) float64 { return n.caps[r] - n.floor[r] + goal.Slack }

// floorOf asks for the floor of range r.
func (d *dfs) floorOf(n *node, r int32) float64 {
	d.Work++
	d.Tick()
	return goal.FloorTrust * d.Limits.Floor(int(r), &n.box)
}

// mistrust raises the floors to what the candidates left at n say, and cuts the windows of traits. It returns false where nothing is
// possible below n.
func (d *dfs) mistrust(n *node) bool {
	if !d.doubt.floors {
		return true
	}
	for s := range n.live {
		d.span(n, int32(s))
	}
	for _, r := range d.sc.Ranges {
		if !d.raiseFloor(n, r) {
			return false
		}
	}
	if !d.rank(n) {
		return false
	}
	for _, r := range d.sc.Ranges {
		for i, s := range d.Links.Slots[r] {
			if n.chosen[s] == candidate.Undecided && !d.cutTraits(n, r, int32(i)) {
				return false
			}
		}
	}
	return true
}

// span looks at the traits of slot s again where enough of its candidates have gone. Else the windows are those of more candidates,
// and hold all the same.
func (d *dfs) span(n *node, s int32) {
	list := n.live[s]
	if len(list) == 0 || len(list) == n.seen[s] || len(list) > long && 2*len(list) > n.seen[s] && n.seen[s] > 0 {
		return
	}
	n.seen[s] = len(list)
	d.Tables[s].Traits.Span(n.box.Least[s], n.box.Most[s], list)
}

// raiseFloor looks at the floor of range r.
func (d *dfs) raiseFloor(n *node, r int32) bool {
	if f := d.floorOf(n, r); f > n.floor[r] {
		n.floor[r] = f
		if n.least[r] > n.level(r) {
			return false
		}
		if n.most[r] > n.level(r) {
			d.touchRange(r)
		}
	}
	return true
}

// cutTraits leaves out the candidates of slot s, the i-th of range r, with traits in that end of their windows that takes the range
// beyond its level whatever the others are.
func (d *dfs) cutTraits(n *node, r, i int32) bool {
	s := d.Links.Slots[r][i]
	for k := range d.doubt.traits {
		for end := range 2 {
			at := &d.doubt.reach[r][2*(int(i)*d.doubt.traits+k)+end]
			width := n.box.Most[s][k] - n.box.Least[s][k]
			room := n.level(r) - n.least[r]
			if !(width > 0) || caution**at*width <= room {
				continue
			}
			rise, beyond := d.probe(n, r, s, k, end, width/notable, room)
			*at = rise / (width - width/notable)
			if beyond && !d.cutTrait(n, r, s, k, end, room) {
				return false
			}
		}
	}
	return true
}

// probe returns by how much the floor of range r rises where only so wide an end of the window of a trait is left, the lower (0) or
// the upper (1), and whether that is beyond the room.
func (d *dfs) probe(n *node, r, s int32, k, end int, width, room float64) (rise float64, beyond bool) {
	least, most := n.box.Least[s][k], n.box.Most[s][k]
	if end == 0 {
		n.box.Most[s][k] = least + width
	} else {
		n.box.Least[s][k] = most - width
	}
	rise = d.floorOf(n, r) - n.floor[r]
	n.box.Least[s][k], n.box.Most[s][k] = least, most
	return rise, rise > room
}

// cutTrait cuts the end of a window of a trait back as far as the floor allows. It returns false if nothing is left.
func (d *dfs) cutTrait(n *node, r, s int32, k, end int, room float64) bool {
	width := n.box.Most[s][k] - n.box.Least[s][k]
	from, to := width/notable, width // beyond the room, not known to be
	for range 6 {
		mid := (from + to) / 2
		if _, beyond := d.probe(n, r, s, k, end, mid, room); beyond {
			from = mid
		} else {
			to = mid
		}
	}
	t, least, most := &d.Tables[s].Traits, n.box.Least[s][k]+from, n.box.Most[s][k]-from
	fewer := n.filter(s, &d.Tables[s], func(c int32) bool {
		if end == 0 {
			return t.Of(c, k) > least
		}
		return t.Of(c, k) < most
	})
	if !d.alive(n, s) {
		return false
	}
	if fewer {
		d.touch(s)
	}
	n.seen[s] = 0
	d.span(n, s)
	return true
}

// doubtful returns the slot and the trait whose window moves a floor most, if it is by more than errors are moved by windows of values, or -1.
func (d *dfs) doubtful(n *node, moved float64) (slot int32, trait int) {
	slot = -1
	for _, r := range d.sc.Ranges {
		for i, s := range d.Links.Slots[r] {
			if n.chosen[s] != candidate.Undecided || len(n.live[s]) < 2 {
				continue
			}
			for k := range d.doubt.traits {
				at := 2 * (i*d.doubt.traits + k)
				width := n.box.Most[s][k] - n.box.Least[s][k]
				if rise := width * max(d.doubt.reach[r][at], d.doubt.reach[r][at+1]); width > 0 && rise > moved && !math.IsInf(rise, 1) {
					slot, trait, moved = s, k, rise
				}
			}
		}
	}
	return slot, trait
}

// part cuts the window of a trait of slot s in two and looks first at the lower half.
func (d *dfs) part(depth int, s int32, k int) {
	n := d.at(depth)
	t, half := &d.Tables[s], n.box.Least[s][k]/2+n.box.Most[s][k]/2
	if half >= n.box.Most[s][k] {
		half = n.box.Least[s][k]
	}
	for lower := range 2 {
		if d.halt() {
			return
		}
		d.visit(depth+1, func(n *node) {
			n.filter(s, t, func(c int32) bool { return (t.Traits.Of(c, k) <= half) == (lower == 0) })
			n.seen[s] = 0
			d.touch(s)
		})
	}
}

// ground returns what the worst error, with its limit, is at least by the limits alone.
func (s *solver) ground() float64 {
	if !s.dfs.doubt.floors {
		return 0
	}
	least := math.Inf(1)
	for i := range s.cases {
		sc, worst := &s.cases[i], 0.0
		s.dfs.goal, s.dfs.sc, s.dfs.lists = goal.Anything, sc, s.lists
		if s.dfs.root() {
			for _, r := range sc.Ranges {
				worst = max(worst, s.dfs.at(0).floor[r])
			}
		}
		least = min(least, worst)
	}
	return least
}
