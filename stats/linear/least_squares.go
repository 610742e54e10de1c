package linear

import (
	"fmt"

	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/num"
)

// interceptName and responseName are the names of the constant column and of the
// response in results and errors.
const (
	interceptName = "intercept"
	responseName  = "response"
)

// Design holds the predictors of a regression: columns of n values each. Unless
// NoIntercept is set, a constant column named "intercept" precedes them. Columns
// without a name are called x1, x2, ….
type Design struct {
	Names       []string
	Columns     [][]float64
	NoIntercept bool
}

// terms returns the names of all coefficients, the intercept (if any) first.
func (d Design) terms() []string {
	var names []string
	if !d.NoIntercept {
		names = append(names, interceptName)
	}
	for j := range d.Columns {
		if j < len(d.Names) && d.Names[j] != "" {
			names = append(names, d.Names[j])
		} else {
			names = append(names, fmt.Sprintf("x%d", j+1))
		}
	}
	return names
}

// check returns the names of the terms, or an error of LeastSquares about lengths,
// non-finite values or the number of rows.
func (d Design) check(y []float64) ([]string, error) {
	names := d.terms()
	if len(names) == 0 {
		return nil, &num.TooFewError{What: "columns", Have: 0, Need: 1}
	}
	columnNames := names[len(names)-len(d.Columns):]
	for j, c := range d.Columns {
		if len(c) != len(y) {
			return nil, &num.LengthError{Column: columnNames[j], Have: len(c), Want: len(y)}
		}
		if i := num.FirstNonFinite(c); i >= 0 {
			return nil, &num.NonFiniteError{Column: columnNames[j], Row: i}
		}
	}
	if i := num.FirstNonFinite(y); i >= 0 {
		return nil, &num.NonFiniteError{Column: responseName, Row: i}
	}
	if need := len(names) + 1; len(y) < need {
		return nil, &num.TooFewError{What: "rows", Have: len(y), Need: need}
	}
	return names, nil
}

// Fit is a least-squares regression. Slices per row have length N, in the order of
// the rows; slices per coefficient are in the order of Names.
type Fit struct {
	Names    []string      // "intercept" first, if there is one
	Coef, SE []float64     // coefficients and their standard errors
	Cov      *mat.SymDense // covariance of the coefficients
	N, DF    int           // rows; degrees of freedom, N - number of coefficients

	Fitted    []float64
	Residuals []float64
	Leverage  []float64 // diagonal of the hat matrix, 0..1
	// Deleted is the externally studentised residual: the residual over its
	// standard error, with the variance estimated without the row. It is 0 if it is
	// not defined: leverage 1, an exact fit, or DF 1.
	Deleted []float64
	Cook    []float64 // Cook's distance; 0 in the same cases

	ResidualSD float64 // √(residual sum of squares / DF), in units of y
	// RSquared is relative to the mean of the response, or to zero without an
	// intercept; NaN for a constant response.
	RSquared float64
	// Condition is the ratio of the largest to the smallest singular value of the
	// columns, centred if there is an intercept and scaled to unit length.
	Condition float64

	span *spanned // nil in a Fit that does not come from LeastSquares
}

// LeastSquares regresses y on the columns of d by ordinary least squares.
//
// The columns are centred and scaled by powers of two, both without rounding,
// and factored by Householder QR. The factor preconditions an iterative
// refinement of the coefficients and of the inverse cross-product matrix, with
// residuals in double-double arithmetic (Björck, Numerical Methods for Least
// Squares Problems, SIAM 1996, on refinement and on the corrected seminormal
// equations). Up to a condition number of about 1e8 the accuracy is therefore
// limited only by the rounding of the input; beyond, by the cross products, whose
// 32 digits lose the square of the condition number. The refinement needs one
// pass over the rows, whatever its number of steps: O(n p²) in all.
//
// Errors: *LengthError, *NonFiniteError, *TooFewError (at least one row more than
// coefficients is needed), *RankError, ErrOverflow.
func LeastSquares(d Design, y []float64) (*Fit, error) {
	s, err := factored(d, y)
	if err != nil {
		return nil, err
	}
	normal := s.crossProducts()
	solved := refine(normal, s.inverse)

	f := &Fit{
		Names: s.names, N: s.rows, DF: s.rows - s.terms,
		Condition: s.condition,
		span:      s.spanned,
	}
	squares := f.setRows(s, solved.coef)
	f.setCoefficients(s, solved, squares)
	f.setRSquared(s, normal, squares)
	f.setInfluence(s, squares)
	if !f.Finite() {
		return nil, num.ErrOverflow
	}
	return f, nil
}

// Finite reports whether coefficients, covariance, fitted values, residuals and
// residual standard deviation are all finite.
func (f *Fit) Finite() bool {
	for _, x := range [][]float64{f.Coef, f.SE, f.Cov.RawSymmetric().Data, f.Fitted, f.Residuals, {f.ResidualSD}} {
		if !num.AllFinite(x) {
			return false
		}
	}
	return true
}
