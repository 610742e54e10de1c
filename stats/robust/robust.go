package robust

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

const (
	// scaleTuning gives the bisquare S-estimate a breakdown point of one half;
	// lineTuning gives the bisquare M-step 95 % efficiency at normal errors.
	// Both are constants of the method (Rousseeuw and Yohai 1984; Yohai 1987).
	scaleTuning = 1.54764
	lineTuning  = 4.685061
	breakdown   = 0.5

	// The M-step ends when the root mean square change of the fitted values is at
	// most this share of the scale; coarseLine applies above manyRows rows.
	lineTolerance = 1e-12
	coarseLine    = 1e-9
	lineSteps     = 1000
)

// RobustOptions are the options of RobustLine; the zero value means the
// defaults.
type RobustOptions struct {
	Seed   uint64 // of the random subsamples; 0 = 1
	Starts int    // subsamples tried; 0 = 1000
}

// RobustFit is a robust regression: an S-estimate and the M-estimate computed
// from it.
type RobustFit struct {
	Names     []string
	Coef, SE  []float64
	Cov       *mat.SymDense // all NaN if Scale is 0 or Cov cannot be computed
	SCoef     []float64     // coefficients of the S-estimate
	Scale     float64       // residual scale of the S-estimate; 0 if more than half of the rows lie exactly on the fit
	Weights   []float64     // of the M-step, from 0 to 1, length N
	Fitted    []float64
	Residuals []float64
	N, DF     int  // rows, and N minus the number of coefficients
	Converged bool // whether the M-step converged
}

// RobustLine regresses y on the columns of d; up to nearly half of the rows may
// be arbitrarily wrong. It computes an S-estimate (bisquare, tuning 1.54764,
// breakdown 0.5, divisor n-p in the scale equation), then an M-estimate
// (bisquare, tuning 4.685061, 95 % efficient at normal errors) with the scale
// held fixed. The scale is in units of y and estimates the standard deviation of
// normal errors.
//
// The search for the S-estimate starts from lines through two points (one
// predictor with an intercept) or from seeded random subsamples, on at most 200
// rows, and improves the best on growing nested sets of rows. The draws do not
// depend on the order of rows.
//
// The covariance is the sandwich of Croux, Dhaene and Hoorelbeke (2003), Robust
// standard errors for robust estimators, K.U. Leuven DPS 03.16, which allows for
// the estimated scale and for heteroscedastic errors; if it is not positive
// definite, its leading term alone is used.
//
// Sources: P. J. Rousseeuw and V. J. Yohai (1984), Robust regression by means of
// S-estimators, Lecture Notes in Statistics 26, 256-272; V. J. Yohai (1987), High
// breakdown-point and high efficiency robust estimates for regression, Ann.
// Statist. 15, 642-656; M. Salibian-Barrera and V. J. Yohai (2006), A fast
// algorithm for S-regression estimates, J. Comput. Graph. Stat. 15, 414-427.
//
// Errors are those of linear.LeastSquares. If more than half of the rows lie
// exactly on one fit, that fit is returned with Scale 0, weight 1 for the rows on
// it and 0 for the others.
func RobustLine(d linear.Design, y []float64, o RobustOptions) (*RobustFit, error) {
	b, err := linear.NewBasis(d, y)
	if err != nil {
		return nil, err
	}
	start, err := FindStart(b, d, y, o)
	if err != nil {
		return nil, err
	}
	f := RobustFrom(b, y, start)
	if !f.Finite() {
		return nil, num.ErrOverflow
	}
	return f, nil
}

// Finite reports whether coefficients, scale, fitted values and residuals are all
// finite.
func (f *RobustFit) Finite() bool {
	return num.AllFinite(f.Coef) && num.AllFinite(f.SCoef) && num.AllFinite(f.Residuals) && num.AllFinite(f.Fitted) && num.AllFinite([]float64{f.Scale})
}

// RobustFrom computes the M-estimate that starts from an S-estimate.
func RobustFrom(b *linear.Basis, y []float64, start Start) *RobustFit {
	f := &RobustFit{
		Names: b.Names, SCoef: b.Coefficients(start.Gamma), Scale: start.Scale, N: b.N, DF: b.N - b.P,
		Weights: make([]float64, b.N), Residuals: make([]float64, b.N), Fitted: make([]float64, b.N),
	}
	rows := num.AllRows(b.N)
	gamma := append([]float64(nil), start.Gamma...)
	startResiduals := make([]float64, b.N)
	b.Residuals(gamma, y, rows, startResiduals)
	copy(f.Residuals, startResiduals)
	if f.Scale > 0 {
		f.Converged = lineStep(b, y, rows, gamma, f)
	} else {
		f.Converged = true
		tiny := exactTolerance(y)
		for i, r := range f.Residuals {
			if math.Abs(r) <= tiny {
				f.Weights[i] = 1
			}
		}
	}
	for i, r := range f.Residuals {
		f.Fitted[i] = y[i] - r
	}
	f.Coef = b.Coefficients(gamma)
	f.covariance(b, startResiduals)
	return f
}

// lineStep iterates reweighted least squares from gamma at the fixed scale of f,
// and reports whether it converged.
func lineStep(b *linear.Basis, y []float64, rows []int, gamma []float64, f *RobustFit) bool {
	solver := linear.NewWeighted(b)
	next := make([]float64, b.P)
	tolerance := lineTolerance
	if len(rows) > manyRows {
		tolerance = coarseLine
	}
	for range lineSteps {
		for i, r := range f.Residuals {
			f.Weights[i] = BisquareWeight(r / (lineTuning * f.Scale))
		}
		if !solver.Solve(y, rows, f.Weights, next) {
			return false
		}
		moved := distance(next, gamma)
		copy(gamma, next)
		b.Residuals(gamma, y, rows, f.Residuals)
		if moved <= tolerance*f.Scale {
			for i, r := range f.Residuals {
				f.Weights[i] = BisquareWeight(r / (lineTuning * f.Scale))
			}
			return true
		}
	}
	return false
}

// covariance sets Cov and SE from the residuals of the M-estimate (in f) and of
// the S-estimate (start).
func (f *RobustFit) covariance(b *linear.Basis, start []float64) {
	p := b.P
	f.SE = make([]float64, p)
	f.Cov = mat.NewSymDense(p, nil)
	in, ok := f.sandwich(b, start)
	if ok {
		f.Cov = b.Covariance(in)
	}
	for j := range p {
		f.SE[j] = math.Sqrt(f.Cov.At(j, j))
		for k := j; k < p && !ok; k++ {
			f.Cov.SetSym(j, k, math.NaN())
			f.SE[j] = math.NaN()
		}
	}
}

// sandwich returns the covariance of the coefficients of the basis; false if it
// cannot be computed.
func (f *RobustFit) sandwich(b *linear.Basis, start []float64) (mat.Matrix, bool) {
	if f.Scale == 0 {
		return nil, false
	}
	p, n := b.P, float64(b.N)
	bread := mat.NewSymDense(p, nil)   // Σ ψ'(u) z zᵀ
	spread := mat.NewSymDense(p, nil)  // Σ ψ(u)² z zᵀ
	slant := mat.NewVecDense(p, nil)   // Σ ψ'(u) u z
	crossed := mat.NewVecDense(p, nil) // Σ ψ(u) ρ(u0) z
	var meanSlope, meanSquare float64
	for i := range b.N {
		z := mat.NewVecDense(p, b.Row(i))
		u, u0 := f.Residuals[i]/f.Scale, start[i]/f.Scale
		psi, slope := bisquarePsi(u)
		rho, rhoSlope := bisquareRho(u0)
		bread.SymRankOne(bread, slope, z)
		spread.SymRankOne(spread, psi*psi, z)
		slant.AddScaledVec(slant, slope*u, z)
		crossed.AddScaledVec(crossed, psi*rho, z)
		meanSlope += rhoSlope * u0 / n
		meanSquare += (rho*rho - breakdown*breakdown) / n
	}
	var lu mat.LU
	lu.Factorize(bread)
	var inverse mat.Dense
	if err := lu.SolveTo(&inverse, false, identity(p)); err != nil || meanSlope <= 0 {
		return nil, false
	}
	inverse.Scale(f.Scale, &inverse)
	var half, total, cross mat.Dense
	half.Mul(&inverse, spread)
	total.Mul(&half, &inverse)
	leading := mat.DenseCopyOf(&total)
	var lean, pull mat.VecDense
	lean.MulVec(&inverse, slant)
	lean.ScaleVec(1/meanSlope, &lean)
	pull.MulVec(&inverse, crossed)
	cross.Outer(1/n, &lean, &pull)
	total.Sub(&total, &cross)
	total.Sub(&total, cross.T())
	cross.Outer(meanSquare/n, &lean, &lean)
	total.Add(&total, &cross)
	var chol mat.Cholesky
	if !chol.Factorize(symmetric(&total)) {
		return leading, true
	}
	return &total, true
}

// Interval returns the confidence interval of coefficient j, from Student's t
// with DF degrees of freedom; NaN if j or the confidence (0 to 1) is out of range
// or the covariance could not be computed.
func (f *RobustFit) Interval(j int, confidence float64) (low, high float64) {
	if j < 0 || j >= len(f.Coef) || !(confidence > 0 && confidence < 1) || math.IsNaN(f.SE[j]) {
		return math.NaN(), math.NaN()
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(f.DF)}.Quantile((1 + confidence) / 2)
	return f.Coef[j] - t*f.SE[j], f.Coef[j] + t*f.SE[j]
}

// BisquareWeight returns ψ(u)/u of the bisquare, u in units of the tuning
// constant.
func BisquareWeight(u float64) float64 {
	v := 1 - u*u
	if v <= 0 {
		return 0
	}
	return v * v
}

// bisquarePsi returns ψ of the M-step's bisquare and its derivative; u is a
// residual in units of the scale.
func bisquarePsi(u float64) (psi, slope float64) {
	v := 1 - u*u/(lineTuning*lineTuning)
	if v <= 0 {
		return 0, 0
	}
	return u * v * v, v * (v - 4*u*u/(lineTuning*lineTuning))
}

// bisquareRho returns ρ of the S-estimate's bisquare, scaled to a maximum of 1,
// and its derivative; u is a residual in units of the scale.
func bisquareRho(u float64) (rho, slope float64) {
	v := 1 - u*u/(scaleTuning*scaleTuning)
	if v <= 0 {
		return 1, 0
	}
	return 1 - v*v*v, 6 * u * v * v / (scaleTuning * scaleTuning)
}

// distance returns the length of a - b. For coefficients of the basis, whose
// columns are orthogonal with mean square 1, it is the root mean square change of
// the fitted values.
func distance(a, b []float64) float64 {
	d := 0.0
	for j := range a {
		d = math.Hypot(d, a[j]-b[j])
	}
	return d
}

func identity(p int) *mat.Dense {
	m := mat.NewDense(p, p, nil)
	for i := range p {
		m.Set(i, i, 1)
	}
	return m
}

func symmetric(m *mat.Dense) *mat.SymDense {
	p, _ := m.Dims()
	s := mat.NewSymDense(p, nil)
	for i := range p {
		for j := i; j < p; j++ {
			s.SetSym(i, j, (m.At(i, j)+m.At(j, i))/2)
		}
	}
	return s
}
