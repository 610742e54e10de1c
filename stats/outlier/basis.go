package outlier

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// basis carries a row of the design, a constant before it, to columns that are
// orthogonal and of mean square 1.
type basis struct {
	p       int
	mean    []float64     // of the columns
	inverse *mat.TriDense // p × p, for columns less their means, over their spread
	spread  []float64
}

// newBasis returns the basis and the design in it; nil where the columns determine
// no line.
func newBasis(columns [][]float64, n int) (*basis, []float64) {
	b := &basis{p: len(columns) + 1}
	x := mat.NewDense(n, b.p, nil)
	for i := range n {
		x.Set(i, 0, 1)
	}
	for j, c := range columns {
		mean, sd := stat.PopMeanStdDev(c, nil)
		b.mean, b.spread = append(b.mean, mean), append(b.spread, sd)
		for i, v := range c {
			x.Set(i, j+1, (v-mean)/sd)
		}
	}
	var qr mat.QR
	qr.Factorize(x)
	var r mat.Dense
	qr.RTo(&r)
	b.inverse = mat.NewTriDense(b.p, mat.Upper, nil)
	for j := range b.p {
		for k := j; k < b.p; k++ {
			b.inverse.SetTri(j, k, r.At(j, k))
		}
	}
	if math.IsNaN(mat.Sum(x)) || b.inverse.InverseTri(b.inverse) != nil {
		return nil, nil
	}
	// The sign of the first column makes the constant positive.
	b.inverse.ScaleTri(math.Copysign(math.Sqrt(float64(n)), r.At(0, 0)), b.inverse)
	var z mat.Dense
	z.Mul(x, b.inverse)
	return b, z.RawMatrix().Data
}

// row is that of predictors x.
func (b *basis) row(x []float64) []float64 {
	one := mat.NewVecDense(b.p, nil)
	one.SetVec(0, 1)
	for j, v := range x {
		one.SetVec(j+1, (v-b.mean[j])/b.spread[j])
	}
	one.MulVec(b.inverse.T(), one)
	return one.RawVector().Data
}

// back turns coefficients in the basis, and their covariance, into those of the
// design.
func (b *basis) back(gamma []float64, cov *mat.SymDense) ([]float64, *mat.SymDense) {
	back := mat.NewDense(b.p, b.p, nil)
	for k := range b.p {
		back.Set(0, k, b.inverse.At(0, k))
		for j := 1; j <= k; j++ {
			v := b.inverse.At(j, k) / b.spread[j-1]
			back.Set(j, k, v)
			back.Set(0, k, back.At(0, k)-v*b.mean[j-1])
		}
	}
	var coef mat.VecDense
	coef.MulVec(back, mat.NewVecDense(b.p, gamma))
	var half, full mat.Dense
	half.Mul(back, cov)
	full.Mul(&half, back.T())
	out := mat.NewSymDense(b.p, nil)
	for j := range b.p {
		for k := j; k < b.p; k++ {
			out.SetSym(j, k, full.At(j, k))
		}
	}
	return coef.RawVector().Data, out
}
