// Package fit is weighted least squares with bounds: observations that are linear in a few features, the features any smooth function of
// a few parameters. It knows numbers only.
package fit

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// Data are observations y = F·θ + e of features θ, boiled down to what they say about θ: as many numbers as there are features,
// however many observations there were.
type Data struct {
	factor [][]float64 // upper triangular: rows of R in Q·R = whitened F
	target []float64   // Qᵀ·whitened y, as far as R reaches
	rest   float64     // sum of squares that no θ removes
}

// New boils observations down. rows[i] are the coefficients of observation y[i], one for each feature; the covariance of the errors is
// diag(variance) + Σ c·cᵀ over the columns c of common, each as long as y. All must be finite and every variance positive. The error is
// that of a covariance that is not positive definite, or of numbers that are not finite.
func New(rows [][]float64, y, variance []float64, common [][]float64) (*Data, error) {
	n := len(y)
	if n == 0 || len(rows) != n || len(variance) != n {
		return nil, fmt.Errorf("least squares of %d observations, %d rows and %d variances", n, len(rows), len(variance))
	}
	cov := mat.NewSymDense(n, nil)
	for i, v := range variance {
		cov.SetSym(i, i, v)
	}
	for _, c := range common {
		cov.SymRankOne(cov, 1, mat.NewVecDense(n, c))
	}
	var chol mat.Cholesky
	if !chol.Factorize(cov) {
		return nil, errors.New("the covariance of the observations is not positive definite")
	}
	return whiten(rows, y, &chol)
}

// whiten divides observations by the Cholesky factor of their covariance and turns them so that the features stand in a triangle.
func whiten(rows [][]float64, y []float64, chol *mat.Cholesky) (*Data, error) {
	n, k := len(y), len(rows[0])
	all := mat.NewDense(n, k+1, nil) // the observations as the last column
	for i, row := range rows {
		for j, f := range row {
			all.Set(i, j, f)
		}
		all.Set(i, k, y[i])
	}
	var lower mat.TriDense
	chol.LTo(&lower)
	white := mat.NewDense(max(n, k+1), k+1, nil) // QR wants no fewer rows than columns; rows of zeros say nothing
	if err := white.Slice(0, n, 0, k+1).(*mat.Dense).Solve(&lower, all); err != nil {
		return nil, fmt.Errorf("whitening the observations: %w", err)
	}
	var qr mat.QR
	var r mat.Dense
	qr.Factorize(white)
	qr.RTo(&r)
	d := &Data{rest: r.At(k, k) * r.At(k, k)}
	for i := range k {
		d.factor = append(d.factor, mat.Row(nil, i, r.Slice(0, k, 0, k)))
		d.target = append(d.target, r.At(i, k))
		if floats.HasNaN(d.factor[i]) || math.IsNaN(d.target[i]) {
			return nil, errors.New("the observations are not finite")
		}
	}
	return d, nil
}

// Size is the number of features, and of residuals.
func (d *Data) Size() int { return len(d.target) }

// Rest is the sum of squares that no features explain.
func (d *Data) Rest() float64 { return d.rest }

// Residual puts the residuals of theta into dst, both of length Size: their sum of squares, and Rest, is that of the whitened
// observations.
func (d *Data) Residual(dst, theta []float64) {
	for i, row := range d.factor {
		dst[i] = floats.Dot(row[i:], theta[i:]) - d.target[i]
	}
}

// Rank is how many independent figures the observations hold.
func (d *Data) Rank() int {
	r := mat.NewDense(len(d.factor), len(d.factor), nil)
	for i, row := range d.factor {
		r.SetRow(i, row)
	}
	var svd mat.SVD
	if !svd.Factorize(r, mat.SVDNone) {
		return len(d.factor)
	}
	return svd.Rank(1e-9)
}
