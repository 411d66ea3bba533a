// Package simplex decides whether a small system of linear inequalities has a solution, again and again while columns are
// forbidden and allowed.
//
// The system is A·x ≤ b or = b row by row, x ≥ 0, with forbidden columns held at 0. It is the dual simplex method without an
// objective: every basis is then dual feasible, so that nothing has to be restored when a search goes back, and each question
// starts from the basis of the one before. The inverse of the basis is kept densely and updated at each pivot.
//
// Arithmetic is in float64. Whoever needs certainty takes Ray, rounds it and checks it exactly.
package simplex

import "math"

const (
	tolerance = 1e-7 // of a basic value, and the smallest pivot
	drift     = 1e-8 // residual above which the inverse is computed afresh
)

// Entry is one coefficient of a column.
type Entry struct {
	Row   int32
	Value float64
}

// Result tells how Solve ended.
type Result int

const (
	Feasible   Result = iota + 1 // Value holds a solution
	Infeasible                   // Ray holds the proof
	Lost                         // numerical trouble: nothing is known
)

// System is a set of rows and columns. Create it with New.
type System struct {
	columns   [][]Entry // structural columns; the slack of row i is column len(columns)+i
	bound     []float64 // right-hand sides
	forbidden []bool    // structural columns and slacks
	basis     []int32   // row -> column
	where     []int32   // column -> row, -1 where not basic
	inverse   [][]float64
	value     []float64 // of the basic column of each row
	ray       []float64
	nonzero   []int32
	alpha     []float64
	Pivots    int // made so far
}

// New returns the system with these columns. bound has one entry a row; equal tells which rows are equations.
func New(columns [][]Entry, bound []float64, equal []bool) *System {
	n, m := len(columns), len(bound)
	s := &System{columns: columns, forbidden: make([]bool, n+m), where: make([]int32, n+m)}
	for j := range s.where {
		s.where[j] = -1
	}
	for i := range bound {
		s.bound = append(s.bound, bound[i])
		s.forbidden[n+i] = equal[i]
		s.basis = append(s.basis, int32(n+i))
		s.where[n+i] = int32(i)
		row := make([]float64, m)
		row[i] = 1
		s.inverse = append(s.inverse, row)
	}
	s.value = append([]float64(nil), bound...)
	s.alpha = make([]float64, m)
	return s
}

// Rows is how many rows there are.
func (s *System) Rows() int { return len(s.basis) }

// Forbid holds column j at 0 from now on, or lets it go again.
func (s *System) Forbid(j int, yes bool) { s.forbidden[j] = yes }

// Value is column j's value after Feasible.
func (s *System) Value(j int) float64 {
	if i := s.where[j]; i >= 0 {
		return s.value[i]
	}
	return 0
}

// Ray, after Infeasible, gives a factor for every row such that the sum of the rows times their factors cannot be kept: factors of
// inequalities are not negative but for rounding, and so are the coefficients of the sum in all columns that are not forbidden,
// while its right-hand side is negative.
func (s *System) Ray() []float64 { return s.ray }

// AddRow adds the inequality whose coefficient in column j is coefficient(j).
func (s *System) AddRow(coefficient func(j int) float64, bound float64) {
	n, m := len(s.columns), len(s.basis)
	last := make([]float64, m+1)
	last[m] = 1
	for j := range s.columns {
		a := coefficient(j)
		if a == 0 {
			continue
		}
		s.columns[j] = append(s.columns[j], Entry{int32(m), a})
		if i := s.where[j]; i >= 0 {
			for k, v := range s.inverse[i] {
				last[k] -= a * v
			}
		}
	}
	for i := range s.inverse {
		s.inverse[i] = append(s.inverse[i], 0)
	}
	s.inverse = append(s.inverse, last)
	s.bound = append(s.bound, bound)
	s.forbidden = append(s.forbidden, false)
	s.basis = append(s.basis, int32(n+m))
	s.where = append(s.where, int32(m))
	s.alpha = append(s.alpha, 0)
	s.value = append(s.value, dot(last, s.bound))
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, x := range a {
		sum += x * b[i]
	}
	return sum
}

// Solve looks for a solution. It gives up as Lost after limit pivots.
func (s *System) Solve(limit int) Result {
	if s.residual() > drift {
		if !s.invert() {
			return Lost
		}
	}
	for step := 0; step < limit; step++ {
		r, up := s.leaving(step > limit/2)
		if r < 0 {
			return Feasible
		}
		j := s.entering(r, up, step > limit/2)
		if j < 0 {
			s.keepRay(r, up)
			return Infeasible
		}
		if !s.pivot(r, j) && !s.invert() {
			return Lost
		}
	}
	return Lost
}

// leaving returns a row whose basic value is out of bounds, and whether it must grow: the worst, or with careful the one of
// the smallest column, which cannot go round in circles.
func (s *System) leaving(careful bool) (row int, up bool) {
	row = -1
	worst, smallest := tolerance, int32(math.MaxInt32)
	for i, v := range s.value {
		off := -v
		if v > 0 && s.forbidden[s.basis[i]] {
			off = v
		}
		if !careful && off > tolerance {
			row2 := s.inverse[i]
			off /= math.Sqrt(dot(row2, row2))
		}
		if off > worst || careful && off > tolerance && s.basis[i] < smallest {
			row, up = i, v < 0
			if careful {
				smallest, worst = s.basis[i], math.Inf(1)
			} else {
				worst = off
			}
		}
	}
	return row, up
}

// entering returns a column that can make up for row r, or -1: the one of the largest coefficient, or the first with careful.
func (s *System) entering(r int, up, careful bool) int {
	row := s.inverse[r]
	sign := 1.0
	if up {
		sign = -1
	}
	best, found := tolerance, -1
	for j, column := range s.columns {
		if s.forbidden[j] || s.where[j] >= 0 {
			continue
		}
		a := 0.0
		for _, e := range column {
			a += row[e.Row] * e.Value
		}
		if a *= sign; a > best {
			best, found = a, j
			if careful {
				return found
			}
		}
	}
	for i, a := range row {
		j := len(s.columns) + i
		if a *= sign; a > best && !s.forbidden[j] && s.where[j] < 0 {
			best, found = a, j
			if careful {
				return found
			}
		}
	}
	return found
}

func (s *System) keepRay(r int, up bool) {
	s.ray = append(s.ray[:0], s.inverse[r]...)
	if !up {
		for i := range s.ray {
			s.ray[i] = -s.ray[i]
		}
	}
}

// pivot makes column j basic in row r. It returns false if the numbers do not bear that out.
func (s *System) pivot(r, j int) bool {
	s.Pivots++
	for i, row := range s.inverse {
		a := 0.0
		if j < len(s.columns) {
			for _, e := range s.columns[j] {
				a += row[e.Row] * e.Value
			}
		} else {
			a = row[j-len(s.columns)]
		}
		s.alpha[i] = a
	}
	if math.Abs(s.alpha[r]) < tolerance/2 {
		return false
	}
	s.where[s.basis[r]] = -1
	s.where[j] = int32(r)
	s.basis[r] = int32(j)
	s.eliminate(r)
	return true
}

// eliminate turns column alpha into a unit vector by operations on the rows of inverse and value.
func (s *System) eliminate(r int) {
	row := s.inverse[r]
	scale := 1 / s.alpha[r]
	s.nonzero = s.nonzero[:0]
	for k, v := range row {
		if v != 0 {
			if v *= scale; math.Abs(v) < 1e-12 {
				v = 0
			} else {
				s.nonzero = append(s.nonzero, int32(k))
			}
			row[k] = v
		}
	}
	s.value[r] *= scale
	for i, other := range s.inverse {
		a := s.alpha[i]
		if i == r || a == 0 {
			continue
		}
		for _, k := range s.nonzero {
			other[k] -= a * row[k]
		}
		s.value[i] -= a * s.value[r]
	}
}

// residual is how far the basic values are from satisfying the rows.
func (s *System) residual() float64 {
	for i, b := range s.bound {
		s.alpha[i] = b
	}
	for i, j := range s.basis {
		v := s.value[i]
		if int(j) >= len(s.columns) {
			s.alpha[int(j)-len(s.columns)] -= v
			continue
		}
		for _, e := range s.columns[j] {
			s.alpha[e.Row] -= e.Value * v
		}
	}
	worst := 0.0
	for _, a := range s.alpha {
		worst = max(worst, math.Abs(a))
	}
	return worst
}

// invert computes the inverse of the basis afresh: from the slacks, one column after another, each in the row where its
// coefficient is largest. It returns false if the basis is singular; the basis is then that of the slacks.
func (s *System) invert() bool {
	n, m := len(s.columns), len(s.basis)
	var enter []int
	for _, j := range s.basis {
		s.where[j] = -1
		if int(j) < n {
			enter = append(enter, int(j))
		}
	}
	keep := make([]bool, m) // rows whose slack stays basic
	for _, j := range s.basis {
		if int(j) >= n {
			keep[int(j)-n] = true
		}
	}
	s.reset()
	for _, j := range enter {
		best, found := 1e-9, -1
		for i, row := range s.inverse {
			if keep[i] || int(s.basis[i]) < n {
				continue
			}
			a := 0.0
			for _, e := range s.columns[j] {
				a += row[e.Row] * e.Value
			}
			if math.Abs(a) > best {
				best, found = math.Abs(a), i
			}
		}
		if found < 0 || !s.pivot(found, j) {
			s.reset()
			return false
		}
	}
	return true
}

// reset makes the slacks the basis.
func (s *System) reset() {
	n := len(s.columns)
	for _, j := range s.basis {
		s.where[j] = -1
	}
	for i, row := range s.inverse {
		clear(row)
		row[i] = 1
		s.basis[i] = int32(n + i)
		s.where[n+i] = int32(i)
		s.value[i] = s.bound[i]
	}
}
