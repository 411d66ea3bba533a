package reading

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

func nearly(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*(1+math.Abs(want))) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// sample is a random linear problem: n observations of k features, with
// variances and common errors.
func sample(r *rand.Rand, n, k, sources int) (rows [][]float64, y, variance []float64, common [][]float64) {
	normals := func(m int) []float64 {
		out := make([]float64, m)
		for i := range out {
			out[i] = r.NormFloat64()
		}
		return out
	}
	for range n {
		rows, variance = append(rows, normals(k)), append(variance, 0.1+r.Float64())
	}
	for range sources {
		common = append(common, normals(n))
	}
	return rows, normals(n), variance, common
}

// reference solves a problem the long way: (Fᵀ V⁻¹ F)⁻¹ Fᵀ V⁻¹ y with explicit
// inverses, its chi-square and the variances.
func reference(t *testing.T, rows [][]float64, y, variance []float64, common [][]float64) (theta *mat.VecDense, chi float64, inverse *mat.Dense) {
	t.Helper()
	n, k := len(y), len(rows[0])
	f, v := mat.NewDense(n, k, nil), mat.NewDense(n, n, nil)
	for i := range n {
		f.SetRow(i, rows[i])
		v.Set(i, i, variance[i])
	}
	for _, c := range common {
		var outer mat.Dense
		outer.Outer(1, mat.NewVecDense(n, c), mat.NewVecDense(n, c))
		v.Add(v, &outer)
	}
	var weight, wf, normal mat.Dense
	var wy, right, residual, weighted mat.VecDense
	inverse, theta = new(mat.Dense), new(mat.VecDense)
	if err := weight.Inverse(v); err != nil {
		t.Fatal(err)
	}
	wf.Mul(&weight, f)
	normal.Mul(f.T(), &wf)
	if err := inverse.Inverse(&normal); err != nil {
		t.Fatal(err)
	}
	wy.MulVec(&weight, mat.NewVecDense(n, y))
	right.MulVec(f.T(), &wy)
	theta.MulVec(inverse, &right)
	residual.MulVec(f, theta)
	residual.SubVec(mat.NewVecDense(n, y), &residual)
	weighted.MulVec(&weight, &residual)
	return theta, mat.Dot(&residual, &weighted), inverse
}

func problem(d *data, k int) leastSquares {
	p := leastSquares{residual: d.residual, size: k, lower: make([]float64, k), upper: make([]float64, k)}
	for j := range k {
		p.lower[j], p.upper[j] = math.Inf(-1), math.Inf(1)
	}
	return p
}

// Generalised least squares against gonum's inverses.
func TestAgainstNormalEquations(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 100 {
		k := 1 + r.IntN(5)
		rows, y, variance, common := sample(r, k+r.IntN(20), k, r.IntN(4))
		d, err := newData(rows, y, variance, common)
		if err != nil {
			t.Fatal(err)
		}
		theta, chi, inverse := reference(t, rows, y, variance, common)
		p := problem(d, k)
		at, sum := p.minimise(make([]float64, k))
		nearly(t, "chi-square", sum+d.rest, chi, 1e-8)
		for j, v := range p.variance(at) {
			nearly(t, "parameter", at[j], theta.AtVec(j), 1e-6)
			nearly(t, "variance", v, inverse.At(j, j), 1e-5)
		}
		if d.rank() != k || len(d.target) != k {
			t.Errorf("rank %d and size %d of %d features", d.rank(), len(d.target), k)
		}
	}
}

// With one parameter held, the others are what gonum's solver makes of the
// problem without it.
func TestHeldParameter(t *testing.T) {
	rows, y, variance, _ := sample(rand.New(rand.NewPCG(2, 1)), 12, 3, 0)
	d, err := newData(rows, y, variance, nil)
	if err != nil {
		t.Fatal(err)
	}
	p := problem(d, 3)
	p.lower[1], p.upper[1] = 0.3, 0.3
	at, _ := p.minimise([]float64{0, 5, 0})
	a, b := mat.NewDense(12, 2, nil), mat.NewVecDense(12, nil)
	for i, row := range rows {
		w := 1 / math.Sqrt(variance[i])
		a.SetRow(i, []float64{w * row[0], w * row[2]})
		b.SetVec(i, w*(y[i]-0.3*row[1]))
	}
	var want mat.VecDense
	if err := want.SolveVec(a, b); err != nil {
		t.Fatal(err)
	}
	nearly(t, "first", at[0], want.AtVec(0), 1e-7)
	nearly(t, "held", at[1], 0.3, 0)
	nearly(t, "third", at[2], want.AtVec(1), 1e-7)
	if v := p.variance(at); v[1] != 0 || !(v[0] > 0) || !(v[2] > 0) {
		t.Errorf("variances %v", v)
	}
}

// A known minimum of a curved problem: Rosenbrock's valley as two residuals,
// 10(y − x²) and 1 − x, is zero at (1, 1); with x at most a half it is lowest
// at (1/2, 1/4).
func TestCurvedValley(t *testing.T) {
	p := leastSquares{size: 2, lower: []float64{-5, -5}, upper: []float64{5, 5}, residual: func(dst, at []float64) {
		dst[0], dst[1] = 10*(at[1]-at[0]*at[0]), 1-at[0]
	}}
	at, sum := p.minimise([]float64{-1.2, 1})
	nearly(t, "x", at[0], 1, 1e-9)
	nearly(t, "y", at[1], 1, 1e-9)
	nearly(t, "sum", sum, 0, 1e-15)
	p.upper[0] = 0.5
	at, sum = p.minimise([]float64{-1.2, 1})
	nearly(t, "x at its bound", at[0], 0.5, 0)
	nearly(t, "y beside it", at[1], 0.25, 1e-7)
	nearly(t, "sum there", sum, 0.25, 1e-9)
	beyond := p
	beyond.lower, beyond.upper = []float64{1.5, -5}, []float64{5, 5}
	at, sum = beyond.minimise([]float64{4, 1})
	nearly(t, "x at its lower bound", at[0], 1.5, 0)
	nearly(t, "y beside it", at[1], 2.25, 1e-7)
	nearly(t, "sum there", sum, 0.25, 1e-9)
	if at, _ = p.minimise([]float64{99, -99}); at[0] > 0.5 || at[1] < -5 {
		t.Errorf("%v is out of bounds", at)
	}
}

// Two parameters that do the same cannot be told apart: the fit is as good as
// with one, and says so.
func TestParametersThatDoTheSame(t *testing.T) {
	p := leastSquares{size: 2, lower: []float64{-9, -9}, upper: []float64{9, 9}, residual: func(dst, at []float64) {
		dst[0], dst[1] = at[0]+at[1]-3, 2*(at[0]+at[1])-6
	}}
	at, sum := p.minimise([]float64{0, 0})
	nearly(t, "sum", sum, 0, 1e-15)
	nearly(t, "both together", at[0]+at[1], 3, 1e-9)
	if v := p.variance(at); !(v[0] > 1e6) || !(v[1] > 1e6) {
		t.Errorf("variances %v of what is not told", v)
	}
	one := leastSquares{size: 1, lower: []float64{0}, upper: []float64{1}, residual: func(dst, _ []float64) { dst[0] = 1 }}
	if at, sum := one.minimise([]float64{0.5}); at[0] != 0.5 || sum != 1 || !math.IsInf(one.variance(at)[0], 1) {
		t.Errorf("a parameter without effect moved to %v, sum %v", at, sum)
	}
}

// Residuals that are no numbers are no way down, and no start.
func TestResidualsThatAreNoNumbers(t *testing.T) {
	p := leastSquares{size: 1, lower: []float64{-1}, upper: []float64{4}, residual: func(dst, at []float64) { dst[0] = math.Sqrt(at[0]) - 1 }}
	if at, sum := p.minimise([]float64{3}); math.Abs(at[0]-1) > 1e-9 || sum > 1e-15 {
		t.Errorf("%v, sum %v", at, sum)
	}
	if at, sum := p.minimise([]float64{-0.5}); at[0] != -0.5 || !math.IsInf(sum, 1) {
		t.Errorf("from nowhere to %v, sum %v", at, sum)
	}
	if v := p.variance([]float64{-0.5}); !math.IsInf(v[0], 1) {
		t.Errorf("variance %v where there are no slopes", v)
	}
}

func TestNewRefuses(t *testing.T) {
	row := [][]float64{{1}}
	for _, test := range []struct {
		what        string
		rows        [][]float64
		y, variance []float64
	}{
		{"nothing", nil, nil, nil},
		{"rows that are missing", nil, []float64{1}, []float64{1}},
		{"a variance of zero", row, []float64{1}, []float64{0}},
		{"a variance without end", row, []float64{1}, []float64{math.Inf(1)}},
		{"a variance that is no number", row, []float64{1}, []float64{math.NaN()}},
		{"an observation that is no number", row, []float64{math.NaN()}, []float64{1}},
		{"a feature that is no number", [][]float64{{math.NaN()}}, []float64{1}, []float64{1}},
	} {
		if _, err := newData(test.rows, test.y, test.variance, nil); err == nil {
			t.Errorf("%s was taken", test.what)
		}
	}
}
