package sat

import (
	"math"
	"slices"
)

// relaxation asks whether fractions of items could do where one whole item of
// every group is to be taken within the room there is (a linear relaxation).
// What it says is computed in float64 and not to be trusted; but where it finds
// no solution it gives whole prices, at which whoever asks can check in integers
// that there is none. Asked at the root alone it makes a drawn scarce drawer 4
// times slower, and some of them 28 times.
type relaxation struct {
	*items
	*system
	rows []int32 // row of each resource, -1 where there is room for all
}

// newRelaxation returns a relaxation in which no item is forbidden.
func newRelaxation(of *items) *relaxation {
	x := &relaxation{items: of, rows: make([]int32, len(of.full))}
	bound, equal := make([]float64, len(of.groups)), make([]bool, len(of.groups))
	for g := range bound {
		bound[g], equal[g] = 1, true
	}
	columns := make([][]entry, len(of.group))
	for item, g := range of.group {
		columns[item] = []entry{{g, 1}}
	}
	for r, users := range of.users {
		x.rows[r] = -1
		total := int32(0)
		for _, item := range users {
			total += of.unitsOf(item, int32(r))
		}
		if total <= of.full[r] {
			continue
		}
		x.rows[r] = int32(len(bound))
		bound, equal = append(bound, float64(of.full[r])), append(equal, false)
		for _, item := range users {
			columns[item] = append(columns[item], entry{x.rows[r], float64(of.unitsOf(item, int32(r)))})
		}
	}
	x.system = newSystem(columns, bound, equal)
	return x
}

// prices returns, after solve has found no solution, a whole price of every
// item, none negative, and a worth that the items of any choice within the room
// do not cost more than together, whatever is forbidden: a sum of rows, each
// times a factor. The items that are not forbidden should cost more, but that
// is to be checked.
func (x *relaxation) prices() (price []int64, worth int64) {
	top := 0.0
	for _, v := range x.ray {
		top = max(top, math.Abs(v))
	}
	price = make([]int64, len(x.group))
	for r, row := range x.rows {
		if row < 0 {
			continue
		}
		if cost := int64(math.Round(x.ray[row] * (1 << 24 / top))); cost > 0 {
			worth += cost * int64(x.full[r])
			for _, item := range x.users[r] {
				price[item] += cost * int64(x.unitsOf(item, int32(r)))
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
		s.relaxed.forbidden[item] = v == ruledOut
	}
	if s.relaxed.solve(func() bool { return s.ctx.Err() != nil }) != infeasible {
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
	s.duals = slices.Insert(s.duals, 0, t)
	s.duals = s.duals[:min(len(s.duals), duals)]
	return true
}
