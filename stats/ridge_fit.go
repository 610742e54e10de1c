package stats

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
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
	var g ridgeGroup
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
		sound := f.factorGroup(&g, rows)
		if sound {
			g.invert()
		}
		for k, i := range rows {
			errors[i], variances[i] = math.NaN(), math.NaN()
			if sound {
				errors[i], variances[i] = g.solved[k], g.inverse.Data[k*g.inverse.Stride+k]
			}
		}
	}
	return errors, variances
}

// leverageTolerance is the least 1 - leverage of a row, or pivot of I - H of a
// group, with which a deleted fit is computed: below it, rounding decides.
const leverageTolerance = 1e-10

// ridgeGroup is I - H over the rows of a group, factored. It calls the routines
// below mat.Cholesky, which would also estimate the condition of every factor:
// leaving out every group at every penalty makes thousands of small ones.
type ridgeGroup struct {
	factor  blas64.Triangular
	solved  []float64         // (I - H)⁻¹ e
	inverse blas64.Triangular // upper triangle of (I - H)⁻¹, by invert
	data    []float64
	scaled  []float64 // one row's coordinates times the spread
}

// factorGroup factors I - H over rows; false where it is singular.
func (f *RidgeFit) factorGroup(g *ridgeGroup, rows []int) bool {
	m := len(rows)
	if len(g.data) < 2*m*m+m {
		g.data = make([]float64, 2*m*m+m)
	}
	left := blas64.Symmetric{Uplo: blas.Upper, N: m, Stride: m, Data: g.data[:m*m]}
	g.inverse = blas64.Triangular{Uplo: blas.Upper, Diag: blas.NonUnit, N: m, Stride: m, Data: g.data[m*m : 2*m*m]}
	g.solved = g.data[2*m*m : 2*m*m+m]
	p := len(f.spread)
	if len(g.scaled) < p {
		g.scaled = make([]float64, p)
	}
	scaled := g.scaled[:p]
	for a, i := range rows {
		g.solved[a] = f.Residuals[i]
		for k, u := range f.ridge.row(i) {
			scaled[k] = u * f.spread[k]
		}
		for b := a; b < m; b++ {
			h := 0.0
			for k, u := range f.ridge.row(rows[b])[:len(scaled)] {
				h += u * scaled[k]
			}
			left.Data[a*m+b] = -h
		}
		left.Data[a*m+a]++
	}
	var ok bool
	if g.factor, ok = lapack64.Potrf(left); !ok {
		return false
	}
	for k := range m {
		if pivot := g.factor.Data[k*m+k]; pivot*pivot < leverageTolerance {
			return false
		}
	}
	solved := blas64.Vector{N: m, Inc: 1, Data: g.solved}
	blas64.Trsv(blas.Trans, g.factor, solved)
	blas64.Trsv(blas.NoTrans, g.factor, solved)
	return true
}

// invert sets the inverse from the factor.
func (g *ridgeGroup) invert() {
	copy(g.inverse.Data, g.factor.Data)
	lapack64.Potri(g.inverse)
}
