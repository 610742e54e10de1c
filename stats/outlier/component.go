package outlier

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

const (
	// enough: the search has converged when no parameter would move by more than
	// this share of its standard error. mostSteps and halvings are the largest
	// numbers of steps and of halvings of a step; longest is the largest change of
	// a parameter in one step.
	enough              = 0.05
	mostSteps, halvings = 40, 6
	longest             = 0.5
	// curvatureStep is the step of the finite differences for second derivatives.
	curvatureStep = 1e-3
	// leastChance is the smallest probability of a component, or of a way within
	// one, that is kept.
	leastChance = 1e-3
	// sampleRows: of more rows, an even sample of this many selects the components.
	sampleRows = 2000
	// hopelessComponent: a component whose log posterior is this far below the best
	// is left out; if its shape is normal, so is the rest of its group.
	hopelessComponent = 10.0
)

// component is one shape of scatter combined with one group of ways.
type component struct {
	shape  int
	group  int
	point  []float64     // parameters that maximise likelihood times prior
	cov    *mat.SymDense // of the parameters, about point
	log    float64       // log evidence
	room   float64       // log evidence less the log of likelihood times prior at point
	chance float64       // posterior probability of the component
	ways   []likelyWay

	suspect float64 // its weight in the evidence against rows
}

// likelyWay is a way with its posterior probability; it concerns the rows whose
// place along the trend is at least from and below to.
type likelyWay struct {
	shifts
	chance   float64
	from, to float64
}

// maximise moves the component's point to the maximum of likelihood times prior by
// the quasi-Newton method of Broyden, Fletcher, Goldfarb and Shanno, starting from
// its covariance as the inverse Hessian. It returns the log of the maximum.
func (l *likelihood) maximise(c *component) (value float64) {
	d := len(c.point)
	gradient, next, point := make([]float64, d), make([]float64, d), make([]float64, d)
	value = l.at(c.point, gradient)
	l.forget()
	step, turn, image := mat.NewVecDense(d, nil), mat.NewVecDense(d, nil), mat.NewVecDense(d, nil)
	for range mostSteps {
		step.MulVec(c.cov, mat.NewVecDense(d, gradient))
		far := 0.0
		for j := range d {
			far = math.Max(far, math.Abs(step.AtVec(j))/math.Sqrt(c.cov.At(j, j)))
		}
		if !(far > enough) {
			return value
		}
		step.ScaleVec(math.Min(1, longest/mat.Norm(step, math.Inf(1))), step)
		v := math.Inf(-1)
		for range halvings {
			floats.AddTo(point, c.point, step.RawVector().Data)
			if v = l.at(point, next); v > value {
				break
			}
			step.ScaleVec(0.5, step)
		}
		if !(v > value) {
			return value
		}
		turn.SubVec(mat.NewVecDense(d, gradient), mat.NewVecDense(d, next))
		if along := mat.Dot(step, turn); along > 0 {
			image.MulVec(c.cov, turn)
			c.cov.SymRankOne(c.cov, (1+mat.Dot(turn, image)/along)/along, step)
			c.cov.RankTwo(c.cov, -1/along, image, step)
		}
		value = v
		copy(c.point, point)
		copy(gradient, next)
	}
	return value
}

// settle sets the component's covariance, its evidence by Laplace's method, and
// the probabilities of its ways, all at its point.
func (l *likelihood) settle(c *component) {
	d := len(c.point)
	gradient := make([]float64, d)
	value := l.at(c.point, gradient)
	c.ways = c.ways[:0]
	total := floats.LogSumExp(l.gains)
	for k, gain := range l.gains {
		if chance := math.Exp(gain - total); chance >= leastChance {
			w := likelyWay{shifts: l.ways[k], chance: chance, from: math.Inf(-1), to: math.Inf(1)}
			if from := l.from[k]; from > 0 && from < l.n {
				w.from = l.along[from]
			}
			if to := l.to[k]; to < l.n {
				w.to = l.along[to]
			}
			c.ways = append(c.ways, w)
		}
	}
	jacobian := mat.NewDense(d, d, nil)
	fd.Jacobian(jacobian, func(y, x []float64) { l.at(x, y) }, c.point,
		&fd.JacobianSettings{Formula: fd.Forward, Step: curvatureStep, OriginValue: gradient})
	information := mat.NewSymDense(d, nil)
	for j := range d {
		for k := j; k < d; k++ {
			information.SetSym(j, k, -(jacobian.At(j, k)+jacobian.At(k, j))/2)
		}
	}
	var chol mat.Cholesky
	if c.log = math.Inf(-1); chol.Factorize(information) && chol.InverseTo(c.cov) == nil {
		// likelihood.at has already counted the factor σ^p that the determinant holds.
		c.room = -chol.LogDet()/2 - float64(l.p)*c.point[l.p]
		c.log = value + c.room
	}
}

// fitComponents fits all components to the rows and returns the likely ones with
// their probabilities. Above sampleRows rows, an even sample selects them and those
// selected are refitted to all rows.
func fitComponents(r *rows, all []Shape) []component {
	some := r.sample()
	var far [2]bool
	for _, v := range some.y {
		far[0], far[1] = far[0] || v > leastFar, far[1] || v < -leastFar
	}
	var out []component
	most := math.Inf(-1)
	for g, of := range groups(far) {
		first := newComponent(some)
		first.point[r.p] = of.logScale
		if r.p > 0 {
			first.point[0] = of.line
		}
		for s := range all {
			c := component{shape: s, group: g, point: slices.Clone(first.point), cov: mat.NewSymDense(r.p+2, nil), suspect: of.suspect}
			c.cov.CopySym(first.cov)
			l := newLikelihood(some, &all[s], of.ways)
			value := l.maximise(&c) + math.Log(all[s].prior)
			most = math.Max(most, value)
			if value < most-hopelessComponent {
				if s == 0 && g > 0 {
					break // nor is the group worth trying with other shapes
				}
				continue
			}
			l.settle(&c)
			c.log = c.log*float64(r.n)/float64(some.n) + math.Log(all[s].prior)
			out = append(out, c)
			if s == 0 && !math.IsInf(c.log, -1) {
				first = c
			}
		}
	}
	out = likely(out)
	if some != r {
		for k := range out {
			c := &out[k]
			c.cov.ScaleSym(float64(some.n)/float64(r.n), c.cov)
			l := newLikelihood(r, &all[c.shape], groups(far)[c.group].ways)
			l.maximise(c)
			l.settle(c)
			c.log += math.Log(all[c.shape].prior)
		}
		out = likely(out)
	}
	if len(out) == 0 { // no component has a maximum: take all rows as honest
		out = []component{newComponent(r)}
	}
	return out
}

// newComponent returns the component of normal scatter about the start without
// shifted rows.
func newComponent(r *rows) component {
	c := component{point: make([]float64, r.p+2), cov: mat.NewSymDense(r.p+2, nil), chance: 1, suspect: 1,
		ways: []likelyWay{{chance: 1, from: math.Inf(-1), to: math.Inf(1)}}}
	for j := range c.point {
		c.cov.SetSym(j, j, 1/float64(r.n))
	}
	return c
}

// likely sets the probabilities of the components from their evidence and removes
// the unlikely ones.
func likely(all []component) []component {
	logs := make([]float64, len(all))
	for k, c := range all {
		logs[k] = c.log
	}
	total, kept := floats.LogSumExp(logs), 0.0
	for k := range all {
		all[k].chance = math.Exp(logs[k] - total)
		if all[k].chance >= leastChance {
			kept += all[k].chance
		}
	}
	all = slices.DeleteFunc(all, func(c component) bool { return !(c.chance >= leastChance) })
	for k := range all {
		all[k].chance /= kept
	}
	return all
}

// sample returns sampleRows rows evenly spaced along the trend, or all rows if
// there are no more.
func (r *rows) sample() *rows {
	if r.n <= sampleRows {
		return r
	}
	out := &rows{n: sampleRows, p: r.p, scale: r.scale, floor: r.floor}
	for k := range sampleRows {
		i := (2*k + 1) * r.n / (2 * sampleRows)
		out.z = append(out.z, r.z[i*r.p:(i+1)*r.p]...)
		out.y, out.along = append(out.y, r.y[i]), append(out.along, r.along[i])
	}
	return out
}
