package stats

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// RidgeWithout is a RidgeFit with one group of rows left out, at the same
// penalty. It keeps what Predict needs and stays valid as long as its RidgeFit.
type RidgeWithout struct {
	Coef []float64 // in the order of the fit's Names

	fit   *RidgeFit
	gamma []float64
	// drop is S Fᵀ U⁻¹ (p × m): S the spread, F the coordinates of the group, UᵀU
	// the Cholesky factors of I - H over the group. What leaving the group out
	// adds to the inverse cross-product matrix is drop dropᵀ.
	drop *mat.Dense
}

// Without returns the fit without the rows of a group; false where there is no
// such group or the other rows do not determine the terms without a penalty.
// Sherman, Morrison and Woodbury's identity, O(m p) for m rows.
func (f *RidgeFit) Without(group int) (*RidgeWithout, bool) {
	if group < 0 || group >= len(f.ridge.groups) || len(f.ridge.groups[group]) == 0 {
		return nil, false
	}
	rows, p := f.ridge.groups[group], len(f.Names)
	var left ridgeGroup
	if !f.factorGroup(&left, rows) {
		return nil, false
	}
	w := &RidgeWithout{fit: f, gamma: make([]float64, p), drop: mat.NewDense(p, len(rows), nil)}
	copy(w.gamma, f.gamma)
	for a, i := range rows {
		for k, u := range f.ridge.row(i) {
			w.drop.Set(k, a, f.spread[k]*u) // S Fᵀ, to be solved below
			w.gamma[k] -= f.spread[k] * u * left.solved[a]
		}
	}
	blas64.Trsm(blas.Right, blas.NoTrans, 1, left.factor, w.drop.RawMatrix())
	w.Coef = f.ridge.coefficients(w.gamma)
	return w, true
}

// Predict returns the value fitted at predictors x (without the constant) and
// its variance, both without the group, as RidgeFit.Predict does.
func (w *RidgeWithout) Predict(x []float64) (fit, variance float64) {
	r := w.fit.ridge
	if len(x) != len(r.centre) {
		return math.NaN(), math.NaN()
	}
	psi := r.at(x)
	fit = r.centreY
	for k, u := range psi {
		fit += u * w.gamma[k]
		variance += u * u * w.fit.spread[k]
	}
	_, m := w.drop.Dims()
	for a := range m {
		part := 0.0
		for k, u := range psi {
			part += u * w.drop.At(k, a)
		}
		variance += part * part
	}
	return fit, variance
}
