package pack

import (
	"math"

	"shuntwright/match/disjoint/oddset"
	"shuntwright/match/disjoint/simplex"
)

const (
	cutRound = 10   // cuts added at a time
	cutMax   = 30   // kept
	cutLeast = 0.02 // what a cut must be violated by
)

// relaxation asks for fractions of items: one whole item a group, within the room.
type relaxation struct {
	*search
	system   *simplex.System
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

func newRelaxation(s *search) *relaxation {
	x := &relaxation{search: s, rows: make([]int32, len(s.full)), banned: make([]bool, len(s.group))}
	bound, equal := make([]float64, len(s.groups)), make([]bool, len(s.groups))
	for g := range s.groups {
		bound[g], equal[g] = 1, true
	}
	for r, users := range s.users {
		x.rows[r] = -1
		total := 0
		for _, item := range users {
			total += int(s.units(item, int32(r)))
		}
		if total > int(s.full[r]) {
			x.rows[r] = int32(len(bound))
			bound, equal = append(bound, float64(s.full[r])), append(equal, false)
		}
	}
	x.system = simplex.New(x.columns(), bound, equal)
	return x
}

func (x *relaxation) columns() [][]simplex.Entry {
	x.unitRows = make([][]int32, len(x.group))
	columns := make([][]simplex.Entry, len(x.group))
	for item, g := range x.group {
		columns[item] = append(columns[item], simplex.Entry{Row: g, Value: 1})
		x.unitRows[item] = append(x.unitRows[item], g)
		for _, u := range x.uses[item] {
			row := x.rows[u.Resource]
			if row < 0 {
				continue
			}
			columns[item] = append(columns[item], simplex.Entry{Row: row, Value: float64(u.Units)})
			if x.full[u.Resource] == 1 {
				x.unitRows[item] = append(x.unitRows[item], row)
			}
		}
	}
	return columns
}

// renew starts afresh where there are too many cuts.
func (x *relaxation) renew() {
	if len(x.cuts) >= cutMax {
		x.search.relaxed = newRelaxation(x.search)
	}
}

// addCuts adds some cuts that the fractions violate, and tells whether there were any.
func (x *relaxation) addCuts() bool {
	if len(x.cuts) >= cutMax {
		return false
	}
	share := make([]float64, len(x.group))
	for item := range share {
		share[item] = x.system.Value(item)
	}
	sets := oddset.Find(x.system.Rows(), x.unitRows, share, cutLeast)
	sets = sets[:min(len(sets), cutRound)]
	for _, set := range sets {
		c := cut{row: int32(x.system.Rows())}
		for item, rows := range x.unitRows {
			if set.Takes(rows) >= 2 {
				c.items = append(c.items, int32(item))
			}
		}
		x.cuts = append(x.cuts, c)
		x.system.AddRow(c.items, 1)
	}
	return len(sets) > 0
}

// relax asks the relaxation about the items not ruled out. If it has no solution, it returns false and leaves in conflict the
// items of which one would have to be taken.
func (s *search) relax() bool {
	x := s.relaxed
	for item, v := range s.value {
		if no := v == ruledOut; no != x.banned[item] {
			x.banned[item] = no
			x.system.Forbid(item, no)
		}
	}
	stop := func() bool { return s.ctx.Err() != nil }
	for {
		switch x.system.Solve(stop) {
		case simplex.Infeasible:
			return !s.priced(x.tariff())
		case simplex.Lost:
			return true
		}
		if s.depth() > 0 || !x.addCuts() {
			return true
		}
	}
}

// priced checks in integers that at a tariff the cheapest items not ruled out, one a group, cost more than all the room is worth.
// If so it keeps the tariff and leaves in conflict the items to blame.
func (s *search) priced(t *tariff) bool {
	t.sort(s.groups)
	if s.leastPrices(t) >= 0 {
		return false
	}
	s.conflict = s.blame(s.conflict[:0], t, -1, int32(len(s.trail)))
	s.keep(t)
	return true
}

// tariff makes whole prices of the factors of the rows in the proof that there is no solution.
func (x *relaxation) tariff() *tariff {
	ray := x.system.Ray()
	top := 0.0
	for _, v := range ray {
		top = max(top, math.Abs(v))
	}
	whole := func(row int32) int64 { return max(0, int64(math.Round(ray[row]*(1<<24/top)))) }
	t := &tariff{price: make([]int64, len(x.group))}
	for r, row := range x.rows {
		if row < 0 {
			continue
		}
		if price := whole(row); price > 0 {
			t.worth += price * int64(x.full[r])
			for _, item := range x.users[r] {
				t.price[item] += price * int64(x.units(item, int32(r)))
			}
		}
	}
	for _, c := range x.cuts {
		if price := whole(c.row); price > 0 {
			t.worth += price
			for _, item := range c.items {
				t.price[item] += price
			}
		}
	}
	return t
}
