package reading

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// data are observations y = F·θ + e of features θ, boiled down to what they say
// about θ: as many numbers as there are features, however many observations
// there were.
type data struct {
	factor [][]float64 // upper triangular: rows of R in Q·R = whitened F
	target []float64   // the same rows of Qᵀ·whitened y
	rest   float64     // sum of squares that no θ removes
}

// newData boils observations down. rows[i] are the coefficients of observation
// y[i], one for each feature; the covariance of the errors is diag(variance) +
// Σ c·cᵀ over the columns c of common, each as long as y. All must be finite
// and every variance positive, else an error says so.
//
// A common error is a feature of its own that is known to be zero, with a
// standard deviation of one: generalised least squares is then plain least
// squares of a few more rows and columns, and no matrix is as large as the
// observations are many squared.
func newData(rows [][]float64, y, variance []float64, common [][]float64) (*data, error) {
	n := len(y)
	if n == 0 || len(rows) != n || len(variance) != n {
		return nil, fmt.Errorf("least squares of %d observations, %d rows and %d variances", n, len(rows), len(variance))
	}
	s, k := len(common), len(rows[0])
	all := mat.NewDense(max(n+s, s+k+1), s+k+1, nil) // QR wants no fewer rows than columns; rows of zeros say nothing
	for i, v := range variance {
		if !(v > 0) || math.IsInf(v, 1) {
			return nil, fmt.Errorf("variance %g of observation %d; it must be positive", v, i+1)
		}
		weight := 1 / math.Sqrt(v)
		for j, c := range common {
			all.Set(i, j, weight*c[i])
		}
		for j, f := range rows[i] {
			all.Set(i, s+j, weight*f)
		}
		all.Set(i, s+k, weight*y[i])
	}
	for j := range common {
		all.Set(n+j, j, 1)
	}
	var qr mat.QR
	var r mat.Dense
	qr.Factorize(all)
	qr.RTo(&r)
	d := &data{rest: r.At(s+k, s+k) * r.At(s+k, s+k)}
	for i := s; i < s+k; i++ {
		d.factor = append(d.factor, mat.Row(nil, i, r.Slice(0, s+k, s, s+k)))
		d.target = append(d.target, r.At(i, s+k))
	}
	for i, row := range d.factor {
		if sum := floats.Sum(row) + d.target[i] + d.rest; math.IsNaN(sum) || math.IsInf(sum, 0) {
			return nil, errors.New("least squares of observations that are not finite")
		}
	}
	return d, nil
}

// residual puts the residuals of theta into dst, one a feature: their sum of
// squares, and rest, is that of the whitened observations.
func (d *data) residual(dst, theta []float64) {
	for i, row := range d.factor {
		dst[i] = floats.Dot(row[i:], theta[i:]) - d.target[i]
	}
}

// rank is how many independent figures the observations hold.
func (d *data) rank() int {
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
