package outlier

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/linear"
)

// Start is the robust fit that Fit starts from.
type Start struct {
	Fitted []float64
	Scale  float64 // of honest rows; 0 if more than half of the rows lie on the fit
}

// Model is a fitted model. Slices per row have length n, in the order of the rows
// given.
type Model struct {
	Coef             []float64     // of the line: the constant, then one per column
	Cov              *mat.SymDense // of Coef
	Spread           float64       // standard deviation of honest rows at the middle of the trend
	Growth           float64       // of the log of Spread, per standard deviation along the trend
	Fitted, Residual []float64
	Clean            []float64   // probability of each row being honest
	High, Low        Evidence    // against each row: p-values of lying so far above, below
	Shapes           []ShapeOdds // likeliest first

	all        []Shape
	components []component
	odds       []float64 // weights of the shapes in the evidence against rows
	rows       *rows
	order      []int         // rows given, in order along the trend
	basis      *linear.Basis // nil without a line
	start      []float64     // coefficients of the start in the basis
	places     []float64     // of the rows along the trend, standardised
	middle     float64       // mean of the places before standardising
	width      float64       // their standard deviation; infinite if they do not differ
}

// ShapeOdds is the posterior probability of a shape of honest scatter.
type ShapeOdds struct {
	Name   string
	Chance float64
}

// leastScale and leastShare are the lower limits of the scale, relative to the
// largest response and to the scale of the start. Without the latter the scale
// would shrink onto readings that are equal, if there are many.
const (
	leastScale = 1e-13
	leastShare = 0.25
)

// ErrDegenerate reports columns that do not determine a line, or values out of the
// range of double precision.
var ErrDegenerate = errors.New("the rows determine no line")

// Fit fits the model of y on columns, starting from a robust fit. If more than half
// of the rows lie exactly on that fit, the model is normal scatter about it without
// shifted rows. The only error is ErrDegenerate.
func Fit(columns [][]float64, y []float64, start Start) (*Model, error) {
	b, err := linear.NewBasis(linear.Design{Columns: columns}, y)
	if err != nil {
		return nil, ErrDegenerate
	}
	m := &Model{all: shapes(), basis: b, start: make([]float64, b.P)}
	n := b.N
	residuals, along := make([]float64, n), make([]float64, n)
	for i, fitted := range start.Fitted {
		residuals[i] = y[i] - fitted
		floats.AddScaled(m.start, fitted/float64(n), b.Row(i))
	}
	for i := range along {
		along[i] = m.place(b.Row(i))
	}
	least := leastScale * floats.Norm(y, math.Inf(1))
	m.describe(b.Z, residuals, along, start.Scale, math.Max(least, leastShare*start.Scale))
	m.fill()
	if !m.finite() {
		return nil, ErrDegenerate
	}
	return m, nil
}

func (m *Model) describe(z, residuals, along []float64, scale, least float64) {
	n, p := len(residuals), len(m.start)
	m.middle, m.width = stat.PopMeanStdDev(along, nil)
	if !(m.width > 1e-9*math.Abs(m.middle)) { // all at the same place
		m.width = math.Inf(1)
	}
	along = slices.Clone(along)
	for i, v := range along {
		along[i] = m.along(v)
	}
	m.places = along
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(along[a], along[b]), cmp.Compare(residuals[a], residuals[b]), cmp.Compare(a, b))
	})
	exact := !(scale > least) && p > 0
	if exact {
		scale = math.Max(floats.Norm(residuals, 2)/math.Sqrt(math.Max(1, float64(n-p))), math.SmallestNonzeroFloat64)
	}
	r := &rows{n: n, p: p, scale: scale, floor: math.Log(least / scale)}
	for _, i := range order {
		r.z = append(r.z, z[i*p:(i+1)*p]...)
		r.y, r.along = append(r.y, residuals[i]/scale), append(r.along, along[i])
	}
	m.rows = r
	if exact {
		m.components = []component{newComponent(r)}
	} else {
		m.components = fitComponents(r, m.all)
	}
	m.order = order
	m.average()
}

// place returns the place along the trend of a row of the basis: the predictor if
// there is one, else the fitted value of the start. along standardises a place to
// mean 0 and variance 1.
func (m *Model) place(z []float64) float64 {
	if len(z) == 2 {
		return z[1]
	}
	return floats.Dot(z, m.start)
}

func (m *Model) along(place float64) float64 { return (place - m.middle) / m.width }

// average sets Spread, Growth and Shapes, averaged over the components.
func (m *Model) average() {
	r := m.rows
	p := r.p
	odds := make([]float64, len(m.all))
	for _, c := range m.components {
		odds[c.shape] += c.chance
		m.Spread += c.chance * r.scale * math.Exp(c.point[p]+m.logVariance(&c, 0)/2)
		m.Growth += c.chance * c.point[p+1]
	}
	for s, chance := range odds {
		m.Shapes = append(m.Shapes, ShapeOdds{m.all[s].Name, chance})
	}
	slices.SortStableFunc(m.Shapes, func(a, b ShapeOdds) int { return cmp.Compare(b.Chance, a.Chance) })
}

// fill sets the line, the residuals of the rows and the evidence against them.
func (m *Model) fill() {
	r := m.rows
	p := r.p
	gamma, cov := make([]float64, p), mat.NewSymDense(p, nil)
	for _, c := range m.components {
		floats.AddScaled(gamma, c.chance, c.point[:p])
	}
	for _, c := range m.components {
		apart := mat.NewVecDense(p, nil)
		for j := range p {
			apart.SetVec(j, c.point[j]-gamma[j])
			for k := j; k < p; k++ {
				cov.SetSym(j, k, cov.At(j, k)+c.chance*c.cov.At(j, k))
			}
		}
		cov.SymRankOne(cov, c.chance, apart)
	}
	suspect := 0.0
	for k := range m.components {
		c := &m.components[k]
		c.suspect *= c.chance
		suspect += c.suspect
	}
	m.odds = make([]float64, len(m.all))
	for k := range m.components {
		c := &m.components[k]
		c.suspect /= suspect
		m.odds[c.shape] += c.suspect
	}
	m.Fitted, m.Residual, m.Clean = make([]float64, r.n), make([]float64, r.n), make([]float64, r.n)
	m.High, m.Low = newEvidence(r.n), newEvidence(r.n)
	for k, i := range m.order {
		z := r.z[k*p : (k+1)*p]
		fit := r.scale * floats.Dot(z, gamma)
		m.Residual[i] = r.scale*r.y[k] - fit
		m.Fitted[i] = floats.Dot(z, m.start) + fit
		m.Clean[i], _ = m.clean(z, r.y[k], r.along[k])
		m.judge(i, z, r.y[k], r.along[k])
	}
	floats.Scale(r.scale, gamma)
	floats.Add(gamma, m.start)
	cov.ScaleSym(r.scale*r.scale, cov)
	m.Coef, m.Cov = m.basis.Coefficients(gamma), m.basis.Covariance(cov)
}

// logVariance returns the variance of the log of a component's scale at a place.
func (m *Model) logVariance(c *component, along float64) float64 {
	p := m.rows.p
	return math.Max(0, c.cov.At(p, p)+2*along*c.cov.At(p, p+1)+along*along*c.cov.At(p+1, p+1))
}

// clean returns the probability that a row at y is honest, and its weight in a
// least-squares regression: that probability, reduced in long tails and increased
// where honest rows scatter less.
func (m *Model) clean(z []float64, y, along float64) (chance, weight float64) {
	p := len(z)
	for k := range m.components {
		c := &m.components[k]
		shape := &m.all[c.shape]
		scale := math.Exp(c.point[p] + along*c.point[p+1])
		u := clip((y - floats.Dot(z, c.point[:p])) / scale)
		log, _ := shape.logDensity(u)
		f := math.Exp(log) + ground
		var near [2][len(shiftSizes)]float64
		var far [2]float64
		all, room := [...]bool{true, true, true, true, true, true, true}, [len(shiftSizes)]float64{}
		for side := range far {
			far[side], _ = shifted(u, side, &all, &near[side], &room)
		}
		honest := 0.0
		for _, w := range c.ways {
			if along < w.from || along >= w.to || w.share == 0 {
				honest += w.chance
				continue
			}
			rest := 1 - w.share - w.far
			honest += w.chance * rest * f / (rest*f + w.share*near[w.side][w.size] + w.far*far[1-w.side])
		}
		chance += c.chance * honest
		weight += c.chance * honest * shape.weight(u) * math.Pow(m.Spread/m.rows.scale/scale, 2)
	}
	return chance, weight
}

// SpreadAt returns the standard deviation of honest rows at the place of row i.
func (m *Model) SpreadAt(i int) float64 { return m.Spread * math.Exp(m.Growth*m.places[i]) }

// Interval returns the confidence interval of coefficient j, from Student's t with
// n-p degrees of freedom.
func (m *Model) Interval(j int, confidence float64) (low, high float64) {
	df := math.Max(1, float64(m.rows.n-m.rows.p))
	half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile((1+confidence)/2) * math.Sqrt(m.Cov.At(j, j))
	return m.Coef[j] - half, m.Coef[j] + half
}

func (m *Model) finite() bool {
	for _, v := range [][]float64{m.Coef, m.Fitted, m.Residual, {m.Spread}} {
		if s := floats.Sum(v); math.IsNaN(s) || math.IsInf(s, 0) {
			return false
		}
	}
	return true
}
