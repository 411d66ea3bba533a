package sat

import "math"

const (
	cutRound = 10   // cuts added at a time
	cutMax   = 30   // kept
	cutLeast = 0.02 // what a cut must be violated by
)

// relaxation asks whether fractions of items could do where one whole item of
// every group is to be taken within the room there is: a linear relaxation, with
// cuts that see odd sets of resources. What it says is computed in float64 and
// not to be trusted; but where it finds no solution it gives whole prices, at
// which whoever asks can check in integers that there is none.
//
// It keeps its basis and its cuts from one question to the next.
type relaxation struct {
	*items
	system   *system
	rows     []int32   // row of each resource, -1 where there is room for all
	unitRows [][]int32 // of each item, the rows with room for one that it takes
	cuts     []cut
	banned   []bool // items that the system holds at 0
}

// cut is an inequality that all choices keep: its items have room for one together.
type cut struct {
	row   int32
	items []int32
}

// newRelaxation returns a relaxation without cuts in which no item is forbidden.
func newRelaxation(of *items) *relaxation {
	x := &relaxation{items: of, rows: make([]int32, len(of.full)), banned: make([]bool, len(of.group))}
	bound, equal := make([]float64, len(of.groups)), make([]bool, len(of.groups))
	for g := range bound {
		bound[g], equal[g] = 1, true
	}
	for r, users := range of.users {
		x.rows[r] = -1
		total := 0
		for _, item := range users {
			total += int(unitsOf(of.uses[item], int32(r)))
		}
		if total > int(of.full[r]) {
			x.rows[r] = int32(len(bound))
			bound, equal = append(bound, float64(of.full[r])), append(equal, false)
		}
	}
	x.system = newSystem(x.columns(), bound, equal)
	return x
}

func (x *relaxation) columns() [][]entry {
	x.unitRows = make([][]int32, len(x.group))
	columns := make([][]entry, len(x.group))
	for item, g := range x.group {
		columns[item] = append(columns[item], entry{row: g, Value: 1})
		x.unitRows[item] = append(x.unitRows[item], g)
		for _, u := range x.uses[item] {
			row := x.rows[u.Resource]
			if row < 0 {
				continue
			}
			columns[item] = append(columns[item], entry{row: row, Value: float64(u.Units)})
			if x.full[u.Resource] == 1 {
				x.unitRows[item] = append(x.unitRows[item], row)
			}
		}
	}
	return columns
}

// worn tells whether there are as many cuts as are kept, so that no more are added.
func (x *relaxation) worn() bool { return len(x.cuts) >= cutMax }

// forbid says whether an item may not be taken.
func (x *relaxation) forbid(item int, no bool) {
	if no != x.banned[item] {
		x.banned[item] = no
		x.system.forbid(item, no)
	}
}

// share returns how much of an item the last solution takes.
func (x *relaxation) share(item int32) float64 { return x.system.Value(int(item)) }

// solve looks for a solution, with more cuts where these are wanted. It returns
// false if it says that there is none, for the reason that prices gives, and
// true also where it has lost its way or stop says to stop.
func (x *relaxation) solve(cuts bool, stop func() bool) bool {
	for {
		switch x.system.solve(stop) {
		case infeasible:
			return false
		case lost:
			return true
		}
		if !cuts || !x.addCuts() {
			return true
		}
	}
}

// addCuts adds some cuts that the fractions violate, and tells whether there
// were any.
func (x *relaxation) addCuts() bool {
	if x.worn() {
		return false
	}
	share := make([]float64, len(x.group))
	for item := range share {
		share[item] = x.system.Value(item)
	}
	sets := findOddSets(x.system.rows(), x.unitRows, share, cutLeast)
	sets = sets[:min(len(sets), cutRound)]
	for _, set := range sets {
		c := cut{row: int32(x.system.rows())}
		for item, rows := range x.unitRows {
			if set.takes(rows) >= 2 {
				c.items = append(c.items, int32(item))
			}
		}
		x.cuts = append(x.cuts, c)
		x.system.addRow(c.items, 1)
	}
	return len(sets) > 0
}

// prices returns, after solve has found no solution, a whole price of every
// item, none negative, and a worth that the items of any choice within the room
// do not cost more than together, whatever is forbidden: a sum of rows, each
// times a factor. The items that are not forbidden should cost more, but that
// is to be checked.
func (x *relaxation) prices() (price []int64, worth int64) {
	ray := x.system.Ray()
	top := 0.0
	for _, v := range ray {
		top = max(top, math.Abs(v))
	}
	whole := func(row int32) int64 { return max(0, int64(math.Round(ray[row]*(1<<24/top)))) }
	price = make([]int64, len(x.group))
	for r, row := range x.rows {
		if row < 0 {
			continue
		}
		if cost := whole(row); cost > 0 {
			worth += cost * int64(x.full[r])
			for _, item := range x.users[r] {
				price[item] += cost * int64(unitsOf(x.uses[item], int32(r)))
			}
		}
	}
	for _, c := range x.cuts {
		if cost := whole(c.row); cost > 0 {
			worth += cost
			for _, item := range c.items {
				price[item] += cost
			}
		}
	}
	return price, worth
}

// relax asks the relaxation about the items not ruled out. If it has no
// solution, it returns false and leaves in conflict the items of which one
// would have to be taken.
func (s *search) relax() bool {
	for item, v := range s.value {
		s.relaxed.forbid(item, v == ruledOut)
	}
	if s.relaxed.solve(s.cuts && s.depth() == 0, func() bool { return s.ctx.Err() != nil }) {
		return true
	}
	price, worth := s.relaxed.prices()
	return !s.priced(&dual{price: price, worth: worth})
}

// priced checks in integers that at a dual solution the cheapest items not
// ruled out, one a group, cost more than all the room is worth. If so it keeps
// the solution and leaves in conflict the items to blame.
func (s *search) priced(t *dual) bool {
	t.sort(s.groups)
	if s.leastPrices(t) >= 0 {
		return false
	}
	s.conflict = s.blame(s.conflict[:0], t, -1, int32(len(s.trail)))
	s.keep(t)
	return true
}
