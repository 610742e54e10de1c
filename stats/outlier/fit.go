package outlier

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

const (
	// leastShare of the scale to begin with is the least that may come out: where
	// many readings are equal it would otherwise close in on those alone.
	leastShare = 0.25
	// leastChance of a component that is kept.
	leastChance = 1e-4
	// enough: a coefficient is settled that would move by less than this share of
	// its standard error.
	enough = 0.02
	// mostSteps and halvings bound the search; no step is longer than longest.
	mostSteps, halvings = 40, 6
	longest             = 0.5
	// curvatureStep is that of the differences that give curvature.
	curvatureStep = 1e-3
	// sampleRows decide on the components of more rows.
	sampleRows = 2000
)

// Start is a robust fit to begin from.
type Start struct {
	Fitted []float64
	Scale  float64 // 0 where more than half of the rows lie on the fit
}

// component is one shape with one group of ways to be shifted.
type component struct {
	shape  int
	group  int
	point  []float64     // where likelihood times prior is greatest
	cov    *mat.SymDense // of the parameters about it
	log    float64       // evidence
	chance float64
	clean  []float64 // of each row, in the order of the trend
}

// maximise carries the component from its point to where likelihood times prior
// is greatest, by the quasi-Newton steps of Broyden, Fletcher, Goldfarb and Shanno;
// its covariance is the metric to begin with.
func (l *likelihood) maximise(c *component) {
	d := len(c.point)
	gradient, next, point := make([]float64, d), make([]float64, d), make([]float64, d)
	value := l.at(c.point, gradient)
	l.forget()
	step, turn, image := mat.NewVecDense(d, nil), mat.NewVecDense(d, nil), mat.NewVecDense(d, nil)
	for range mostSteps {
		step.MulVec(c.cov, mat.NewVecDense(d, gradient))
		far, most := 0.0, 0.0
		for j := range d {
			far = math.Max(far, math.Abs(step.AtVec(j))/math.Sqrt(c.cov.At(j, j)))
			most = math.Max(most, math.Abs(step.AtVec(j)))
		}
		if !(far > enough) {
			return
		}
		step.ScaleVec(math.Min(1, longest/most), step)
		v := math.Inf(-1)
		for range halvings {
			floats.AddTo(point, c.point, step.RawVector().Data)
			if v = l.at(point, next); v > value {
				break
			}
			step.ScaleVec(0.5, step)
		}
		if !(v > value) {
			return
		}
		for j := range d {
			turn.SetVec(j, gradient[j]-next[j])
		}
		if along := mat.Dot(step, turn); along > 0 {
			image.MulVec(c.cov, turn)
			c.cov.SymRankOne(c.cov, (1+mat.Dot(turn, image)/along)/along, step)
			c.cov.RankTwo(c.cov, -1/along, image, step)
		}
		value = v
		copy(c.point, point)
		copy(gradient, next)
	}
}

// curvature sets the component's covariance and evidence at its point.
func (l *likelihood) curvature(c *component) {
	d := len(c.point)
	gradient := make([]float64, d)
	value := l.at(c.point, gradient)
	c.clean = slices.Clone(l.clean)
	jacobian := mat.NewDense(d, d, nil)
	fd.Jacobian(jacobian, func(y, x []float64) { l.at(x, y) }, c.point,
		&fd.JacobianSettings{Formula: fd.Central, Step: curvatureStep})
	information := mat.NewSymDense(d, nil)
	for j := range d {
		for k := j; k < d; k++ {
			information.SetSym(j, k, -(jacobian.At(j, k)+jacobian.At(k, j))/2)
		}
	}
	var chol mat.Cholesky
	c.cov = mat.NewSymDense(d, nil)
	if !chol.Factorize(information) || chol.InverseTo(c.cov) != nil {
		c.log = math.Inf(-1)
		return
	}
	// The room of the coefficients is in scales: see likelihood.at.
	c.log = value - chol.LogDet()/2 - float64(l.p)*c.point[l.p]
}

// weigh fits all components to the rows and gives them their chances.
func weigh(r *rows) []component {
	all := shapes()
	var out []component
	var far [2]bool
	for _, v := range r.y {
		far[0] = far[0] || v > leastFar
		far[1] = far[1] || v < -leastFar
	}
	for g, of := range groups(far) {
		first := component{point: make([]float64, r.p+2), cov: mat.NewSymDense(r.p+2, nil)}
		for j := range first.point {
			first.cov.SetSym(j, j, 1/float64(r.n))
		}
		first.point[r.p] = of.logScale
		if r.p > 0 {
			first.point[0] = of.line
		}
		for s := range all {
			l := newLikelihood(r, &all[s], of.ways)
			c := component{shape: s, group: g, point: slices.Clone(first.point), cov: mat.NewSymDense(r.p+2, nil)}
			c.cov.CopySym(first.cov)
			l.maximise(&c)
			l.curvature(&c)
			c.log += math.Log(all[s].Prior)
			if s == 0 && !math.IsInf(c.log, -1) {
				first = c
			}
			out = append(out, c)
		}
	}
	logs := make([]float64, len(out))
	for k, c := range out {
		logs[k] = c.log
	}
	total := floats.LogSumExp(logs)
	for k := range out {
		out[k].chance = math.Exp(logs[k] - total)
	}
	return out
}

// arrange puts rows in order along the trend.
func arrange(z []float64, p int, residuals, along []float64, scale float64) (*rows, []int) {
	n := len(residuals)
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(along[a], along[b]), cmp.Compare(residuals[a], residuals[b]), cmp.Compare(a, b))
	})
	r := &rows{n: n, p: p, z: make([]float64, 0, n*p), scale: scale}
	for _, i := range order {
		r.z = append(r.z, z[i*p:(i+1)*p]...)
		r.y = append(r.y, residuals[i]/scale)
		r.along = append(r.along, along[i])
	}
	return r, order
}
