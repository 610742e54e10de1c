package linear

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/num"
)

// refineSteps is the largest number of refinement steps. Each gains
// -log10(u·condition) digits, u being the unit roundoff: four at the largest
// condition number accepted (see rankTolerance), so that eight steps reach the 32
// digits of a DoubleDouble.
const refineSteps = 8

// refineEnough is the relative size of a step below which another one cannot
// change the float64 result.
const refineEnough = 1e-22

// refined is the solution of the standardised problem.
type refined struct {
	coef    []num.DoubleDouble
	inverse [][]num.DoubleDouble // of the cross-product matrix of the predictors
}

// refine solves the normal equations, given by the cross products of predictors
// and response, for the coefficients and for the inverse; inverse is R⁻¹.
func refine(normal [][]num.DoubleDouble, inverse *mat.TriDense) refined {
	p := len(normal) - 1
	right := make([]num.DoubleDouble, p)
	for a := range p {
		right[a] = normal[a][p]
	}
	out := refined{coef: refineOne(normal, inverse, right), inverse: make([][]num.DoubleDouble, p)}
	for j := range p {
		unit := make([]num.DoubleDouble, p)
		unit[j] = num.DoubleDouble{Hi: 1, Lo: 0}
		out.inverse[j] = refineOne(normal, inverse, unit)
	}
	return out
}

// refineOne solves normal·x = right by iterative refinement with R⁻¹ as an
// approximate solver: each step adds R⁻¹R⁻ᵀ(right - normal·x) to x, with the
// difference computed in double-double arithmetic.
func refineOne(normal [][]num.DoubleDouble, inverse *mat.TriDense, right []num.DoubleDouble) []num.DoubleDouble {
	p := len(right)
	x := make([]num.DoubleDouble, p)
	step := mat.NewVecDense(p, nil)
	before := math.Inf(1)
	for range refineSteps {
		for a := range p {
			r := right[a]
			for b := range p {
				r = r.Sub(x[b].Mul(normal[min(a, b)][max(a, b)]))
			}
			step.SetVec(a, r.Value())
		}
		step.MulVec(inverse.T(), step)
		step.MulVec(inverse, step)
		size := 0.0
		for a := range p {
			x[a] = x[a].AddFloat(step.AtVec(a))
			size = math.Max(size, math.Abs(step.AtVec(a))/math.Max(math.Abs(x[a].Hi), math.SmallestNonzeroFloat64))
		}
		// Steps that no longer shrink are the rounding of the DoubleDouble values.
		if size < refineEnough || size > before/2 {
			break
		}
		before = size
	}
	return x
}
