package reading

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// leastSquares is a sum of squares to be made small.
type leastSquares struct {
	// residual puts size residuals at the parameters into dst. It need not be
	// finite everywhere.
	residual     func(dst, at []float64)
	size         int
	lower, upper []float64 // bounds of the parameters; equal: it is held
}

// steps is the most that are tried; quadratic convergence needs about six.
// leastDamping keeps the linear problems well conditioned where two parameters
// do the same.
const (
	steps        = 100
	leastDamping = 1e-12
)

// minimise goes downhill from start by Gauss–Newton steps, each a linear
// least-squares problem for gonum's QR, damped as by Levenberg and Marquardt
// and cut off at the bounds. It finds the nearest local minimum; start is moved
// inside the bounds first, and the residuals there should be finite: where they
// are not, start is what comes back, with an infinite sum. sum is that of the
// squares at the minimum.
func (p leastSquares) minimise(start []float64) (at []float64, sum float64) {
	at = make([]float64, len(start))
	for j := range at {
		at[j] = math.Min(math.Max(start[j], p.lower[j]), p.upper[j])
	}
	here, there := make([]float64, p.size), make([]float64, p.size)
	if sum = p.sum(here, at); math.IsInf(sum, 1) {
		return at, sum
	}
	jac, next := p.jacobian(at), make([]float64, len(at))
	for n, damping := 0, 1e-6; n < steps && damping < 1e12; n++ {
		step := p.step(jac, here, at, damping)
		moved := 0.0
		for j := range at {
			next[j] = math.Min(math.Max(at[j]+step[j], p.lower[j]), p.upper[j])
			if next[j] != at[j] {
				moved = math.Max(moved, math.Abs(next[j]-at[j])/(math.Abs(at[j])+math.Abs(next[j])))
			}
		}
		if !(moved > 1e-15) {
			break
		}
		better := p.sum(there, next)
		if !(better < sum) {
			if gain(jac, step) <= 1e-14*sum {
				break
			}
			damping = math.Max(100*damping, 1e-6)
			continue
		}
		gained := sum - better
		at, next, here, there, sum, damping = next, at, there, here, better, math.Max(damping/10, leastDamping)
		jac = p.jacobian(at)
		if gained <= 1e-13*sum {
			break
		}
	}
	return at, sum
}

// gain is what a step promises, were the residuals linear.
func gain(jac *mat.Dense, step []float64) float64 {
	var moved mat.VecDense
	moved.MulVec(jac, mat.NewVecDense(len(step), step))
	return mat.Dot(&moved, &moved)
}

// sum puts the residuals into dst and returns the sum of their squares, +Inf
// where it is no number.
func (p leastSquares) sum(dst, at []float64) float64 {
	p.residual(dst, at)
	if s := floats.Dot(dst, dst); !math.IsNaN(s) {
		return s
	}
	return math.Inf(1)
}

// jacobian takes the slopes from two points about each parameter, inside its
// bounds; a slope that is no number counts as none.
func (p leastSquares) jacobian(at []float64) *mat.Dense {
	jac := mat.NewDense(p.size, len(at), nil)
	x, above, below := append([]float64(nil), at...), make([]float64, p.size), make([]float64, p.size)
	for j := range at {
		h := 1e-6 * (math.Abs(at[j]) + 1e-3)
		hi, lo := math.Min(at[j]+h, p.upper[j]), math.Max(at[j]-h, p.lower[j])
		if hi == lo {
			continue
		}
		x[j] = hi
		p.residual(above, x)
		x[j] = lo
		p.residual(below, x)
		x[j] = at[j]
		for i := range above {
			if slope := (above[i] - below[i]) / (hi - lo); !math.IsNaN(slope) && !math.IsInf(slope, 0) {
				jac.Set(i, j, slope)
			}
		}
	}
	return jac
}

// step solves the damped linear problem for the parameters that are free: those
// that are held, at a bound with the way down leading out, or without effect
// stay.
func (p leastSquares) step(jac *mat.Dense, residual, at []float64, damping float64) []float64 {
	out := make([]float64, len(at))
	var free []int
	var norms []float64
	for j := range at {
		col := mat.Col(nil, j, jac)
		down, norm := -floats.Dot(col, residual), floats.Norm(col, 2)
		if norm > 0 && !(at[j] <= p.lower[j] && down <= 0) && !(at[j] >= p.upper[j] && down >= 0) {
			free, norms = append(free, j), append(norms, norm)
		}
	}
	switch len(free) {
	case 0:
		return out
	case 1: // needs no decomposition
		j := free[0]
		out[j] = -floats.Dot(mat.Col(nil, j, jac), residual) / (norms[0] * norms[0] * (1 + damping))
		return out
	}
	a, b := mat.NewDense(p.size+len(free), len(free), nil), mat.NewVecDense(p.size+len(free), nil)
	for i, r := range residual {
		b.SetVec(i, -r)
		for k, j := range free {
			a.Set(i, k, jac.At(i, j)/norms[k])
		}
	}
	for k := range free {
		a.Set(p.size+k, k, math.Sqrt(damping))
	}
	var qr mat.QR
	var x mat.VecDense
	qr.Factorize(a)
	if err := qr.SolveVecTo(&x, false, b); err != nil {
		return out // numbers beyond all bounds
	}
	for k, j := range free {
		out[j] = x.AtVec(k) / norms[k]
	}
	return out
}

// variance is that of each parameter at a minimum, for residuals of variance 1:
// the diagonal of (JᵀJ)⁻¹. It is +Inf where the residuals do not tell the
// parameter, by itself or from another one, and 0 where it is held.
func (p leastSquares) variance(at []float64) []float64 {
	jac, out := p.jacobian(at), make([]float64, len(at))
	var free []int
	for j := range out {
		if p.lower[j] < p.upper[j] {
			free, out[j] = append(free, j), math.Inf(1)
		}
	}
	if len(free) == 0 {
		return out
	}
	normal := mat.NewSymDense(len(free), nil)
	for k, j := range free {
		for l := range k + 1 {
			normal.SetSym(k, l, floats.Dot(mat.Col(nil, j, jac), mat.Col(nil, free[l], jac)))
		}
	}
	var chol mat.Cholesky
	var inverse mat.SymDense
	if !chol.Factorize(normal) || chol.InverseTo(&inverse) != nil {
		return out
	}
	for k, j := range free {
		out[j] = inverse.At(k, k)
	}
	return out
}
