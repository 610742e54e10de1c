package stats

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// RidgeWithout is a RidgeFit with one group of rows left out, at the same
// penalty. It keeps what Predict needs and stays valid as long as its RidgeFit.
type RidgeWithout struct {
	Coef []float64 // in the order of the fit's Names

	fit   *RidgeFit
	gamma []float64
	// drop is S Fᵀ L⁻ᵀ (p × m): S the spread, F the coordinates of the group, L
	// the Cholesky factor of I - H over the group. What leaving the group out
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
	solved, chol := f.solveGroup(rows)
	if solved == nil {
		return nil, false
	}
	w := &RidgeWithout{fit: f, gamma: make([]float64, p)}
	spread := mat.NewDense(p, len(rows), nil) // S Fᵀ
	for a, i := range rows {
		for k, u := range f.ridge.row(i) {
			spread.Set(k, a, f.spread[k]*u)
		}
	}
	for k := range p {
		w.gamma[k] = f.gamma[k]
		for a := range rows {
			w.gamma[k] -= spread.At(k, a) * solved[a]
		}
	}
	var l mat.TriDense
	chol.LTo(&l)
	var t mat.Dense
	if err := t.Solve(&l, spread.T()); err != nil {
		return nil, false
	}
	w.drop = mat.DenseCopyOf(t.T())
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
