package stats

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// RidgeOptions are the choices of NewRidge; the zero value penalises every
// column alike and leaves rows out one at a time.
type RidgeOptions struct {
	// Weights are the relative penalties of the columns of the design, none
	// negative; 0 = not penalised. nil = 1 each. The intercept is never
	// penalised.
	Weights []float64
	// Groups says which rows are left out together: those with equal numbers,
	// 0 to the number of groups less one. nil = each row alone.
	Groups []int
}

// Ridge is a penalised regression, factored once, so that a fit at any penalty,
// and that fit with any group of rows left out, follow in closed form.
//
// With penalty λ and relative penalties k it minimises
//
//	Σ (y - b0 - Σ x_j b_j)² + λ Σ k_j b_j²
//
// Columns are used as they come; to penalise them in units of their standard
// deviation pass their variances as Weights.
type Ridge struct {
	names     []string
	intercept bool
	centre    []float64 // of each column, 0 without an intercept
	centreY   float64
	groups    [][]int // rows of each group

	// A centred row x has coordinates ψ = C x in which the cross-product matrix
	// of the rows is diagonal: 1 for the free terms without a penalty, which
	// come first, and singular² for the others, whose penalty is λ.
	free     int
	c        *mat.Dense
	singular []float64
	rows     []float64 // ψ of every row, n × p
	y        []float64 // y - centreY
	right    []float64 // Σ ψ y
}

// NewRidge prepares the penalised regression of y on d.
//
// Householder QR takes the terms without a penalty out of the others; what is
// left of those, scaled by their relative penalties, is decomposed by singular
// values: A. E. Hoerl and R. W. Kennard (1970), Technometrics 12, 55-67; G. H.
// Golub, M. Heath and G. Wahba (1979), Technometrics 21, 215-223. O(n p²) once,
// O(n p) for each penalty tried.
//
// There may be more penalised columns than rows. Errors: *LengthError,
// *NonFiniteError, *WeightError, *GroupError, *TooFewError (one row more than
// terms without a penalty is needed), *RankError where the terms without a
// penalty depend on one another, ErrOverflow.
func NewRidge(d Design, y []float64, o RidgeOptions) (*Ridge, error) {
	order, root, free, err := d.penalties(o.Weights)
	if err != nil {
		return nil, err
	}
	r := &Ridge{names: d.terms(), intercept: !d.NoIntercept, free: free}
	if err := d.checkValues(y); err != nil {
		return nil, err
	}
	if need := free + 1; len(y) < need {
		return nil, &TooFewError{What: "rows", Have: len(y), Need: need}
	}
	if r.groups, err = groupRows(o.Groups, len(y)); err != nil {
		return nil, err
	}
	r.setCentre(d, y)
	if err := r.freeRank(d, y, order[:free]); err != nil {
		return nil, err
	}
	x := r.matrix(d, len(y))
	if err := r.factor(x, order, root); err != nil {
		return nil, err
	}
	r.setRows(x, y)
	if !allFinite(r.rows) || !allFinite(r.right) {
		return nil, ErrOverflow
	}
	return r, nil
}

// penalties returns the terms in the order of their coordinates, those without
// a penalty first, the square roots of their relative penalties (1 for the
// free) and the number of the free.
func (d Design) penalties(weights []float64) (order []int, root []float64, free int, err error) {
	names := d.terms()
	if len(names) == 0 {
		return nil, nil, 0, &TooFewError{What: "columns", Have: 0, Need: 1}
	}
	if weights != nil && len(weights) != len(d.Columns) {
		return nil, nil, 0, &LengthError{Column: "relative penalties", Have: len(weights), Want: len(d.Columns)}
	}
	first := len(names) - len(d.Columns)
	if first == 1 {
		order, root = append(order, 0), append(root, 1)
	}
	var held []int
	var heldRoot []float64
	for j := range d.Columns {
		w := 1.0
		if weights != nil {
			w = weights[j]
		}
		switch {
		case !(w >= 0) || math.IsInf(w, 1):
			return nil, nil, 0, &WeightError{Column: names[first+j], Weight: w}
		case w == 0:
			order, root = append(order, first+j), append(root, 1)
		default:
			held, heldRoot = append(held, first+j), append(heldRoot, math.Sqrt(w))
		}
	}
	return append(order, held...), append(root, heldRoot...), len(order), nil
}

func (r *Ridge) setCentre(d Design, y []float64) {
	r.centre = make([]float64, len(d.Columns))
	if !r.intercept {
		return
	}
	for j, c := range d.Columns {
		r.centre[j] = Mean(c)
	}
	r.centreY = Mean(y)
}

// freeRank returns a *RankError where terms without a penalty depend on one
// another.
func (r *Ridge) freeRank(d Design, y []float64, terms []int) error {
	sub := Design{NoIntercept: !r.intercept}
	names := r.names[:len(r.names)-len(d.Columns)]
	for _, t := range terms {
		if j := t - len(r.names) + len(d.Columns); j >= 0 {
			sub.Columns = append(sub.Columns, d.Columns[j])
			names = append(names[:len(names):len(names)], r.names[t])
		}
	}
	if len(names) == 0 {
		return nil
	}
	s := standardise(sub, y)
	_, err := s.rank(s.triangle(), names)
	return err
}

// matrix returns the centred rows, terms in the order of names.
func (r *Ridge) matrix(d Design, n int) *mat.Dense {
	x := mat.NewDense(n, len(r.names), nil)
	first := len(r.names) - len(d.Columns)
	for i := range n {
		row := x.RawRowView(i)
		if first == 1 {
			row[0] = 1
		}
		for j, c := range d.Columns {
			row[first+j] = c[i] - r.centre[j]
		}
	}
	return x
}

// factor sets the map to coordinates and the singular values.
func (r *Ridge) factor(x *mat.Dense, order []int, root []float64) error {
	n, p := x.Dims()
	a := mat.NewDense(n, p, nil)
	for i := range n {
		from, to := x.RawRowView(i), a.RawRowView(i)
		for k, t := range order {
			to[k] = from[t] / root[k]
		}
	}
	triangular(a.RawMatrix()) // in the first rows of a

	r.c = mat.NewDense(p, p, nil)
	q, h := r.free, p-r.free
	inverse, err := r.invertFree(a)
	if err != nil {
		return err
	}
	for k := range q {
		for l := k; l < q; l++ {
			r.c.Set(l, order[k], inverse.At(k, l)) // R⁻ᵀ
		}
	}
	if h == 0 {
		return nil
	}
	left := mat.NewDense(min(n, p)-q, h, nil) // triangle of the held terms, cleared of the free ones
	for k := range left.RawMatrix().Rows {
		for l := k; l < h; l++ {
			left.Set(k, l, a.At(q+k, q+l))
		}
	}
	var svd mat.SVD
	if !allFinite(left.RawMatrix().Data) || !svd.Factorize(left, mat.SVDFullV) {
		return ErrOverflow
	}
	r.singular = append(svd.Values(nil), make([]float64, h-min(n-q, h))...)
	var v mat.Dense
	svd.VTo(&v)
	for k := range h {
		for l := range h {
			r.c.Set(q+k, order[q+l], v.At(l, k)/root[q+l])
		}
	}
	if q == 0 {
		return nil
	}
	// The free terms' share of the held ones, G = R⁻¹ Qᵀ X, leaves each of them.
	var g, share mat.Dense
	g.Mul(inverse, a.Slice(0, q, q, p))
	share.Mul(&g, &v)
	for k := range h {
		for l := range q {
			r.c.Set(q+k, order[l], -share.At(l, k))
		}
	}
	return nil
}

// invertFree returns the inverse of the triangle of the free terms.
func (r *Ridge) invertFree(a *mat.Dense) (*mat.TriDense, error) {
	if r.free == 0 {
		return nil, nil
	}
	t := mat.NewTriDense(r.free, mat.Upper, nil)
	for k := range r.free {
		for l := k; l < r.free; l++ {
			t.SetTri(k, l, a.At(k, l))
		}
	}
	return invert(t)
}

// setRows turns the rows into coordinates.
func (r *Ridge) setRows(x *mat.Dense, y []float64) {
	n, p := x.Dims()
	psi := mat.NewDense(n, p, nil)
	psi.Mul(x, r.c.T())
	r.rows = psi.RawMatrix().Data
	r.y = make([]float64, n)
	r.right = make([]float64, p)
	for i, v := range y {
		r.y[i] = v - r.centreY
		for k, u := range r.row(i) {
			r.right[k] += u * r.y[i]
		}
	}
}

// row returns the coordinates of row i.
func (r *Ridge) row(i int) []float64 {
	p := len(r.names)
	return r.rows[i*p : (i+1)*p]
}
