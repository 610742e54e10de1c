package stats

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// RidgeFit is the regression at one penalty. Everything per row has length n,
// in the order of the rows; Coef is in the order of Names.
type RidgeFit struct {
	Names     []string // "intercept" first where there is one
	Coef      []float64
	Penalty   float64
	Effective float64 // effective number of coefficients: the trace of the hat matrix
	Fitted    []float64
	Residuals []float64
	Leverage  []float64 // diagonal of the hat matrix

	ridge  *Ridge
	spread []float64 // inverse of the penalised cross-product matrix, diagonal in the coordinates
	gamma  []float64 // coefficients in the coordinates
}

// Fit returns the regression at a penalty of 0 or more. At +Inf the penalised
// coefficients are 0 and the others as without those columns.
//
// Errors: *PenaltyError; *RankError at a penalty of 0 where columns depend on
// one another.
func (r *Ridge) Fit(penalty float64) (*RidgeFit, error) {
	if !(penalty >= 0) {
		return nil, &PenaltyError{Penalty: penalty}
	}
	if err := r.heldRank(penalty); err != nil {
		return nil, err
	}
	p := len(r.names)
	f := &RidgeFit{Names: r.names, Penalty: penalty, ridge: r,
		spread: make([]float64, p), gamma: make([]float64, p),
		Fitted: make([]float64, len(r.y)), Residuals: make([]float64, len(r.y)), Leverage: make([]float64, len(r.y))}
	for k := range p {
		f.spread[k] = 1
		if k >= r.free {
			d := r.singular[k-r.free]
			f.spread[k] = 1 / (d*d + penalty)
		}
		f.gamma[k] = f.spread[k] * r.right[k]
	}
	f.Coef = r.coefficients(f.gamma)
	for i, y := range r.y {
		fitted, leverage := 0.0, 0.0
		for k, u := range r.row(i) {
			fitted += u * f.gamma[k]
			leverage += u * u * f.spread[k]
		}
		f.Fitted[i] = r.centreY + fitted
		f.Residuals[i] = y - fitted
		f.Leverage[i] = leverage
		f.Effective += leverage
	}
	if !allFinite(f.Coef) || !allFinite(f.Fitted) {
		return nil, ErrOverflow
	}
	return f, nil
}

// heldRank returns a *RankError where no penalty holds dependent columns.
func (r *Ridge) heldRank(penalty float64) error {
	if penalty > 0 || len(r.singular) == 0 {
		return nil
	}
	var columns []string
	for t, name := range r.names {
		for k, d := range r.singular {
			if d <= rankTolerance*r.singular[0] && math.Abs(r.c.At(r.free+k, t)) > partTolerance {
				columns = append(columns, name)
				break
			}
		}
	}
	if columns != nil {
		return &RankError{Columns: columns}
	}
	return nil
}

// coefficients turns coefficients in the coordinates into those of the terms.
func (r *Ridge) coefficients(gamma []float64) []float64 {
	var b mat.VecDense
	b.MulVec(r.c.T(), mat.NewVecDense(len(gamma), gamma))
	coef := b.RawVector().Data
	if r.intercept {
		coef[0] += r.centreY
		for j, c := range r.centre {
			coef[0] -= c * coef[1+j]
		}
	}
	return coef
}

// at returns the coordinates of a row with predictors x, without the constant.
func (r *Ridge) at(x []float64) []float64 {
	full := make([]float64, 0, len(r.names))
	if r.intercept {
		full = append(full, 1)
	}
	for j, v := range x {
		full = append(full, v-r.centre[j])
	}
	var psi mat.VecDense
	psi.MulVec(r.c, mat.NewVecDense(len(full), full))
	return psi.RawVector().Data
}

// Predict returns the value fitted at predictors x (without the constant) and
// its variance in units of the variance of one row: x̃ᵀ (XᵀX + λK)⁻¹ x̃, which
// takes the penalty for prior knowledge. NaN where x has the wrong length.
func (f *RidgeFit) Predict(x []float64) (fit, variance float64) {
	if len(x) != len(f.ridge.centre) {
		return math.NaN(), math.NaN()
	}
	fit = f.ridge.centreY
	for k, u := range f.ridge.at(x) {
		fit += u * f.gamma[k]
		variance += u * u * f.spread[k]
	}
	return fit, variance
}

// LeftOut returns, for every row, y less the value the fit at the same penalty
// gives it with the row's group left out, and the variance of that error in
// units of the variance of one row. In closed form, (I - H)⁻¹ e and the
// diagonal of (I - H)⁻¹ over the rows of the group; for single rows D. M. Allen
// (1974), Technometrics 16, 125-127. The intercept is estimated anew each time.
// NaN where the other rows do not determine the terms without a penalty.
func (f *RidgeFit) LeftOut() (errors, variances []float64) {
	errors, variances = make([]float64, len(f.Residuals)), make([]float64, len(f.Residuals))
	for _, rows := range f.ridge.groups {
		if len(rows) == 1 {
			i := rows[0]
			left := 1 - f.Leverage[i]
			if left < leverageTolerance {
				left = math.NaN()
			}
			errors[i], variances[i] = f.Residuals[i]/left, 1/left
			continue
		}
		f.leaveGroup(rows, errors, variances)
	}
	return errors, variances
}

// leaveGroup fills in the rows of one group.
func (f *RidgeFit) leaveGroup(rows []int, errors, variances []float64) {
	solved, chol := f.solveGroup(rows)
	var inverse mat.SymDense
	if solved == nil || chol.InverseTo(&inverse) != nil {
		for _, i := range rows {
			errors[i], variances[i] = math.NaN(), math.NaN()
		}
		return
	}
	for k, i := range rows {
		errors[i], variances[i] = solved[k], inverse.At(k, k)
	}
}

// leverageTolerance is the least 1 - leverage of a row, or pivot of I - H of a
// group, with which a deleted fit is computed: below it, rounding decides.
const leverageTolerance = 1e-10

// solveGroup returns (I - H)⁻¹ e over rows and the factor of I - H; nil where
// that is singular.
func (f *RidgeFit) solveGroup(rows []int) ([]float64, *mat.Cholesky) {
	m := len(rows)
	left := mat.NewSymDense(m, nil)
	e := mat.NewVecDense(m, nil)
	for a, i := range rows {
		e.SetVec(a, f.Residuals[i])
		for b := a; b < m; b++ {
			h := 0.0
			second := f.ridge.row(rows[b])
			for k, u := range f.ridge.row(i) {
				h += u * second[k] * f.spread[k]
			}
			if a == b {
				h--
			}
			left.SetSym(a, b, -h)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(left) || leastPivot(&chol) < leverageTolerance {
		return nil, nil
	}
	var solved mat.VecDense
	if err := chol.SolveVecTo(&solved, e); err != nil {
		return nil, nil
	}
	return solved.RawVector().Data, &chol
}

// leastPivot returns the least squared diagonal element of the factor.
func leastPivot(chol *mat.Cholesky) float64 {
	var l mat.TriDense
	chol.LTo(&l)
	least := math.Inf(1)
	for k := range chol.SymmetricDim() {
		least = math.Min(least, l.At(k, k)*l.At(k, k))
	}
	return least
}
