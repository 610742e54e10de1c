package linear

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/num"
)

// constantTolerance is the root mean square of a centred column, relative to its
// largest value, up to which the column counts as constant: a few units in the
// last place, as unit conversions and sums of equal values leave.
const constantTolerance = 1e-15

// rankTolerance is the ratio of the smallest to the largest singular value of the
// columns, scaled to unit length, up to which they count as dependent. Sums and
// unit conversions of logged values give about 1e-16; the worst conditioned of the
// published test designs, a polynomial of degree ten, gives about 1e-10.
const rankTolerance = 1e-12

// partTolerance is the weight in a singular vector up to which a column is not
// part of the dependency: well above the rounding of the vector, well below the
// weight of any column that matters.
const partTolerance = 1e-8

// rank returns the condition number of the predictors, scaled to unit length,
// from their triangular factor r, or a *RankError.
func (s *standard) rank(r *mat.TriDense) (float64, error) {
	p := s.terms
	lengths := make([]float64, p)
	for j := range p {
		for i := range j + 1 {
			lengths[j] = math.Hypot(lengths[j], r.At(i, j))
		}
	}
	involved := make([]bool, p)
	for j := s.offset(); j < p; j++ {
		if lengths[j] <= constantTolerance*math.Sqrt(float64(s.rows)) {
			involved[j] = true
			involved[0] = involved[0] || s.intercept
			lengths[j] = 1 // so that the rest of the check can go on
		}
	}
	unit := mat.NewDense(p, p, nil)
	for i := range p {
		for j := i; j < p; j++ {
			unit.Set(i, j, r.At(i, j)/lengths[j])
		}
	}
	var svd mat.SVD
	if !svd.Factorize(unit, mat.SVDThinV) {
		return 0, num.ErrOverflow
	}
	values := svd.Values(nil)
	var v mat.Dense
	svd.VTo(&v)
	for k, value := range values {
		if value > rankTolerance*values[0] {
			continue
		}
		s.markPart(mat.Col(nil, k, &v), lengths, involved)
	}
	var columns []string
	for j, in := range involved {
		if in {
			columns = append(columns, s.names[j])
		}
	}
	if columns != nil {
		return 0, &num.RankError{Columns: columns}
	}
	return values[0] / values[p-1], nil
}

// markPart marks the columns that take part in a dependency, whose weights on the
// columns scaled to unit length are given by direction. The weight of the
// constant column follows from undoing the centring.
func (s *standard) markPart(direction, lengths []float64, involved []bool) {
	k := s.offset()
	var constant, size float64
	for j := k; j < s.terms; j++ {
		if math.Abs(direction[j]) <= partTolerance {
			continue
		}
		involved[j] = true
		part := s.centre[j-k] * direction[j] / lengths[j]
		constant += part
		size += math.Abs(part)
	}
	if s.intercept && math.Abs(constant) > partTolerance*size {
		involved[0] = true
	}
}
