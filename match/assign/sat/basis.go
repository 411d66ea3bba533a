package sat

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// pivot makes column j basic in row r. It returns false if the numbers do not
// bear that out.
func (s *system) pivot(r, j int) bool {
	for i, row := range s.inverse {
		s.alpha[i] = s.coefficient(row, j)
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

// eliminate turns column alpha into a unit vector by operations on the rows of
// inverse and value.
func (s *system) eliminate(r int) {
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
	dense := 6*len(s.nonzero) > len(row)
	for i, other := range s.inverse {
		a := s.alpha[i]
		if i == r || a == 0 {
			continue
		}
		if dense {
			floats.AddScaled(other, -a, row)
		} else {
			for _, k := range s.nonzero {
				other[k] -= a * row[k]
			}
		}
		s.value[i] -= a * s.value[r]
	}
}

// residual is how far the basic values are from satisfying the rows.
func (s *system) residual() float64 {
	copy(s.alpha, s.bound)
	for i, j := range s.basis {
		v := s.value[i]
		if int(j) >= len(s.columns) {
			s.alpha[int(j)-len(s.columns)] -= v
			continue
		}
		for _, e := range s.columns[j] {
			s.alpha[e.row] -= e.Value * v
		}
	}
	worst := 0.0
	for _, a := range s.alpha {
		worst = max(worst, math.Abs(a))
	}
	return worst
}

// invert computes the inverse of the basis afresh: from the slacks, one column
// after another, each in the row where its coefficient is largest. It returns
// false if the basis is singular; the basis is then that of the slacks.
func (s *system) invert() bool {
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
			if a := math.Abs(s.coefficient(row, j)); a > best {
				best, found = a, i
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
func (s *system) reset() {
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
