package pack

import (
	"math"

	"shuntwright/match/disjoint/simplex"
)

// relaxation asks for fractions of items: one whole item a group, within the room.
type relaxation struct {
	*search
	system    *simplex.System
	rows      []int32 // row of each resource, -1 where there is room for all
	cuts      []cut
	unitRows  [][]int32 // of each item, the rows with room for one that it takes
	forbidden []bool
}

func newRelaxation(s *search) *relaxation {
	x := &relaxation{search: s, rows: make([]int32, len(s.full)), forbidden: make([]bool, len(s.group))}
	bound, equal := make([]float64, len(s.groups)), make([]bool, len(s.groups))
	for g := range s.groups {
		bound[g], equal[g] = 1, true
	}
	for r, users := range s.users {
		x.rows[r] = -1
		total := int32(0)
		for _, item := range users {
			total += s.units(item, int32(r))
		}
		if total > s.full[r] {
			x.rows[r] = int32(len(bound))
			bound, equal = append(bound, float64(s.full[r])), append(equal, false)
		}
	}
	x.unitRows = make([][]int32, len(s.group))
	columns := make([][]simplex.Entry, len(s.group))
	for item, g := range s.group {
		columns[item] = append(columns[item], simplex.Entry{Row: g, Value: 1})
		x.unitRows[item] = []int32{g}
		for _, u := range s.uses[item] {
			if row := x.rows[u.resource]; row >= 0 {
				if s.full[u.resource] == 1 {
					x.unitRows[item] = append(x.unitRows[item], row)
				}
				columns[item] = append(columns[item], simplex.Entry{Row: row, Value: float64(u.units)})
			}
		}
	}
	x.system = simplex.New(columns, bound, equal)
	return x
}

// renew starts afresh where there are too many cuts.
func (x *relaxation) renew() {
	if len(x.cuts) >= cutMax {
		x.search.relaxed = newRelaxation(x.search)
	}
}

// relax asks the relaxation about the items not ruled out. If it has no solution, it returns false and leaves in conflict the
// items of which one would have to be taken.
func (s *search) relax() bool {
	x := s.relaxed
	for item, v := range s.value {
		if no := v == ruledOut; no != x.forbidden[item] {
			x.forbidden[item] = no
			x.system.Forbid(item, no)
		}
	}
	for {
		s.Relaxed++
		switch x.system.Solve(2000) {
		case simplex.Infeasible:
			if s.priced(x.prices()) {
				s.Priced++
				return false
			}
			s.Lost++
			return true
		case simplex.Lost:
			s.Lost++
			return true
		}
		if s.depth() > 0 || !x.addCuts() {
			return true
		}
	}
}

// prices rounds the factors of the rows to whole prices: of the resources, then of the cuts.
func (x *relaxation) prices() (resources, cuts []int64) {
	ray := x.system.Ray()
	top := 0.0
	for _, v := range ray {
		top = max(top, math.Abs(v))
	}
	scale := (1 << 24) / top
	whole := func(v float64) int64 { return max(0, int64(math.Round(v*scale))) }
	resources = make([]int64, len(x.rows))
	for r, row := range x.rows {
		if row >= 0 {
			resources[r] = whole(ray[row])
		}
	}
	for _, c := range x.cuts {
		cuts = append(cuts, whole(ray[c.row]))
	}
	return resources, cuts
}

// priced makes a tariff of prices and checks in integers that at it the cheapest items not ruled out, one a group, cost more than
// all the room is worth. If so it keeps the tariff and leaves in conflict the items to blame.
func (s *search) priced(resources, cuts []int64) bool {
	t := s.tariff(resources, cuts)
	if s.leastPrices(t) >= 0 {
		return false
	}
	s.conflict = s.blame(s.conflict[:0], t, -1, int32(len(s.trail)))
	s.keep(t)
	return true
}

func (s *search) tariff(resources, cuts []int64) *tariff {
	t := &tariff{price: make([]int64, len(s.group))}
	for r, price := range resources {
		t.worth += price * int64(s.full[r])
	}
	for item := range s.group {
		for _, u := range s.uses[item] {
			t.price[item] += resources[u.resource] * int64(u.units)
		}
	}
	for k, price := range cuts {
		if price == 0 {
			continue
		}
		t.worth += price * int64(s.relaxed.cuts[k].room)
		for _, u := range s.relaxed.cuts[k].items {
			t.price[u.resource] += price * int64(u.units)
		}
	}
	return t
}
