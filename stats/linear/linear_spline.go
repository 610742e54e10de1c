package linear

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/num"
)

// LinearSpline is a basis of piecewise linear curves: a straight line and a change
// of slope at each knot. Penalising the changes of slope makes the curve smooth;
// without knots it is a straight line. D. Ruppert, M. P. Wand and R. J. Carroll
// (2003), Semiparametric Regression, Cambridge University Press, section 3.
type LinearSpline struct {
	Origin float64 // where every basis function is 0
	Low    float64 // below Low and above High the curve is constant
	High   float64
	Knots  []float64 // ascending, strictly inside Low to High
}

// NewLinearSpline returns the basis for abscissas t with the given number of knots,
// at equally spaced quantiles of the distinct values; n distinct values allow at
// most (n-1)/2 knots, so that every piece contains some of them. Origin is High.
// NaN and infinities in t are ignored. With fewer than two distinct values there
// are no knots and Low = High.
func NewLinearSpline(t []float64, knots int) LinearSpline {
	var distinct []float64
	for _, v := range t {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			distinct = append(distinct, v)
		}
	}
	slices.Sort(distinct)
	distinct = slices.Compact(distinct)
	if len(distinct) == 0 {
		return LinearSpline{}
	}
	h := LinearSpline{Low: distinct[0], High: distinct[len(distinct)-1]}
	h.Origin = h.High
	knots = max(0, min(knots, (len(distinct)-1)/2))
	for k := range knots {
		h.Knots = append(h.Knots, num.QuantileSorted(distinct, float64(k+1)/float64(knots+1)))
	}
	return h
}

// Len returns the number of basis functions: the line and one for each knot.
func (h LinearSpline) Len() int { return 1 + len(h.Knots) }

// At sets dst, of length Len, to the basis functions at t, the line first.
func (h LinearSpline) At(t float64, dst []float64) {
	t = min(max(t, h.Low), h.High)
	dst[0] = t - h.Origin
	for k, knot := range h.Knots {
		dst[1+k] = max(t-knot, 0) - max(h.Origin-knot, 0)
	}
}

// CompressRows returns at most p rows with the same cross products as the given
// rows, all of length p, so that a least-squares or ridge fit to either is the
// same. If there are no more than p rows, they are returned as they are.
func CompressRows(rows [][]float64) [][]float64 {
	if len(rows) == 0 || len(rows) <= len(rows[0]) {
		return rows
	}
	n, p := len(rows), len(rows[0])
	a := mat.NewDense(n, p, nil)
	for i, row := range rows {
		a.SetRow(i, row)
	}
	tau, work := make([]float64, p), []float64{0}
	lapack64.Geqrf(a.RawMatrix(), tau, work, -1)
	work = make([]float64, int(work[0]))
	lapack64.Geqrf(a.RawMatrix(), tau, work, len(work))
	out := make([][]float64, p)
	for k := range out {
		out[k] = make([]float64, p)
		copy(out[k][k:], a.RawRowView(k)[k:])
	}
	return out
}
