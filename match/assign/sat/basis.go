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
	for k, v := range row {
		if row[k] = v * scale; math.Abs(row[k]) < 1e-12 {
			row[k] = 0
		}
	}
	s.value[r] *= scale
	for i, other := range s.inverse {
		a := s.alpha[i]
		if i == r || a == 0 {
			continue
		}
		floats.AddScaled(other, -a, row)
		s.value[i] -= a * s.value[r]
	}
}

// residual is how far the basic values are from satisfying the rows.
func (s *system) residual() float64 {
	copy(s.alpha, s.bound)
	for i, j := range s.basis {
		v := s.value[i]
		if n := s.structural(); int(j) >= n {
			s.alpha[int(j)-n] -= v
			continue
		}
		for _, e := range s.column(int(j)) {
			s.alpha[e.row] -= e.value * v
		}
	}
	return floats.Norm(s.alpha, math.Inf(1))
}

// invert computes the inverse of the basis afresh: from the slacks, one column
// after another, each in the row where its coefficient is largest. It returns
// false if the basis is singular; the basis is then that of the slacks.
func (s *system) invert() bool {
	n := s.structural()
	var enter []int
	keep := make([]bool, len(s.basis)) // rows whose slack stays basic
	for _, j := range s.basis {
		if int(j) < n {
			enter = append(enter, int(j))
		} else {
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
	n := s.structural()
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
