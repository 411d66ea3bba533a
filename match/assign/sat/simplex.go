package sat

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

const (
	tolerance = 1e-7 // of a basic value, and the smallest pivot
	drift     = 1e-8 // residual above which the inverse is computed afresh
	near      = 1e-9 // ratios that close are equal
)

// entry is one coefficient of a column.
type entry struct {
	row   int32
	value float64
}

// result tells how solve ended.
type result int

const (
	feasible   result = iota + 1 // share tells a solution
	infeasible                   // ray is the proof
	lost                         // numerical trouble: nothing is known
)

// system decides whether A·x ≤ b or = b row by row, x ≥ 0, has a solution with
// forbidden columns held at 0, again and again while columns are forbidden and
// allowed. It is the dual simplex method. What it minimises does not matter, so
// the columns have made-up costs, which are changed where they would not suit
// the basis: every basis is dual feasible, so that nothing has to be restored
// when a search goes back, and each question starts from the basis of the one
// before. The inverse of the basis is kept densely and updated at each pivot.
// Arithmetic is in float64; whoever needs certainty takes the ray, rounds it and
// checks it exactly. Create it with newSystem.
type system struct {
	entries   []entry // of all structural columns; those of column j begin at starts[j]
	starts    []int32
	bound     []float64 // right-hand sides
	forbidden []bool    // structural columns, which may be forbidden and allowed, and behind them the slack of each row
	basis     []int32   // row -> column
	where     []int32   // column -> row, -1 where not basic
	inverse   [][]float64
	value     []float64 // of the basic column of each row
	// ray, where solve has found no solution, has a factor for every row such
	// that the sum of the rows times their factors cannot be kept: factors of
	// inequalities are not negative but for rounding, and so are the coefficients
	// of the sum in all columns that are not forbidden, while its right-hand side
	// is negative.
	ray   []float64
	alpha []float64
	// Any costs do, as nothing is minimised; that no column's becomes negative
	// keeps the pivots from going round. With the largest coefficient in place of
	// the least ratio of costs there are 1.3 times as many pivots.
	cost []float64
	free []int32 // columns that are not forbidden
	able []able  // those with a coefficient in the row looked at last
}

// newSystem returns the system with these columns. bound has one entry a row;
// equal tells which rows are equations.
func newSystem(columns [][]entry, bound []float64, equal []bool) *system {
	n, m := len(columns), len(bound)
	s := &system{starts: make([]int32, 1, n+1), bound: bound, forbidden: append(make([]bool, n), equal...), where: make([]int32, n+m),
		basis: make([]int32, m), value: make([]float64, m), alpha: make([]float64, m), inverse: make([][]float64, m)}
	for _, c := range columns {
		s.entries = append(s.entries, c...)
		s.starts = append(s.starts, int32(len(s.entries)))
	}
	for j := range s.where {
		s.where[j] = -1
		s.cost = append(s.cost, someCost(j))
	}
	for i := range s.inverse {
		s.inverse[i] = make([]float64, m)
		s.basis[i] = int32(n + i)
	}
	s.reset()
	return s
}

// structural is how many columns there are that are no slacks.
func (s *system) structural() int { return len(s.starts) - 1 }

// column returns the entries of structural column j.
func (s *system) column(j int) []entry { return s.entries[s.starts[j]:s.starts[j+1]] }

// someCost is between 1 and 2, without a pattern.
func someCost(j int) float64 { return 1 + float64(uint32(j+1)*2654435761*uint32(j+7)>>8)/(1<<24) }

// share is column j's value in the solution that solve has found.
func (s *system) share(j int32) float64 {
	if i := s.where[j]; i >= 0 {
		return s.value[i]
	}
	return 0
}

// solve looks for a solution. It gives up as lost when the numbers fail, when
// it takes more pivots than it ever should, or when stop, which is asked every
// few pivots, says so.
func (s *system) solve(stop func() bool) result {
	s.free = s.free[:0]
	for j, no := range s.forbidden {
		if !no {
			s.free = append(s.free, int32(j))
		}
	}
	if !(s.residual() <= drift) && !s.invert() { // written so that NaN counts as drift
		return lost
	}
	limit := 1000 + 20*len(s.basis)
	for step := range limit {
		if step%16 == 15 && stop() {
			return lost
		}
		careful := step > limit/2
		r, up := s.leaving(careful)
		if r < 0 {
			return feasible
		}
		j := s.entering(r, up, careful)
		if j < 0 {
			s.ray = append(s.ray[:0], s.inverse[r]...)
			if !up {
				floats.Scale(-1, s.ray)
			}
			return infeasible
		}
		if !s.pivot(r, j) && !s.invert() {
			return lost
		}
	}
	return lost
}

// leaving returns a row whose basic value is out of bounds, -1 if there is none,
// and whether it must grow: the one that is furthest out, measured along the edge
// that it would take (the dual steepest edge, without which published instances
// take 1.3 times as long), or with careful the one of the smallest column, which
// cannot go round in circles.
func (s *system) leaving(careful bool) (row int, up bool) {
	row = -1
	furthest := 0.0
	for i, v := range s.value {
		off := -v
		if v > 0 && s.forbidden[s.basis[i]] {
			off = v
		}
		if off <= tolerance {
			continue
		}
		if careful {
			if row < 0 || s.basis[i] < s.basis[row] {
				row = i
			}
		} else if far := off * off / floats.Dot(s.inverse[i], s.inverse[i]); far > furthest {
			row, furthest = i, far
		}
	}
	return row, row >= 0 && s.value[row] < 0
}

// entering returns a column that can make up for row r, or -1: the one whose
// cost grows least for it, or the first with careful.
func (s *system) entering(r int, up, careful bool) int {
	row := s.inverse[r]
	sign := 1.0
	if up {
		sign = -1
	}
	s.able = s.able[:0]
	best := able{column: -1, ratio: math.Inf(1)}
	for _, j := range s.free {
		if s.where[j] >= 0 {
			continue
		}
		a := able{column: j, alpha: sign * s.coefficient(row, int(j))}
		if a.alpha == 0 {
			continue
		}
		s.able = append(s.able, a)
		if a.alpha <= tolerance {
			continue
		}
		if careful {
			return int(j)
		}
		a.ratio = s.cost[j] / a.alpha
		if a.ratio < best.ratio-near || a.ratio <= best.ratio+near && a.alpha > best.alpha {
			best = a
		}
	}
	if best.column >= 0 {
		for _, a := range s.able {
			s.cost[a.column] = max(0, s.cost[a.column]-best.ratio*a.alpha)
		}
		s.cost[s.basis[r]] = best.ratio
	}
	return int(best.column)
}

// able is a column that has a coefficient in a row.
type able struct {
	column       int32
	alpha, ratio float64
}

// coefficient is that of column j in a row of the inverse.
func (s *system) coefficient(row []float64, j int) float64 {
	if n := s.structural(); j >= n {
		return row[j-n]
	}
	a := 0.0
	for _, e := range s.column(j) {
		a += row[e.row] * e.value
	}
	return a
}
