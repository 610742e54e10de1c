package outlier

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

const (
	// scaleNodes is the number of Gauss-Hermite nodes over the uncertain scale.
	scaleNodes = 7
	// exactRanges: for more rows than this on one predictor, ranges are computed at
	// this many places and interpolated, to within a thousandth of their width.
	exactRanges = 17
	// quantile takes at most quantileSteps steps, none longer than longestStep
	// scales, and stops within quantileMoved on the standard normal scale.
	// Probabilities below leastTail are not distinguished.
	quantileSteps = 60
	longestStep   = 3.0
	quantileMoved = 1e-7
	leastTail     = 1e-16
)

// predictive is the predictive distribution of a new honest row under one
// component, relative to the start and in units of rows.scale: the shape about the
// fit, averaged over scales that include the uncertainty of scale and line.
type predictive struct {
	shape  *Shape
	chance float64
	fit    float64
	scales [scaleNodes]float64
}

// scaleRule is the Gauss-Hermite rule for a standard normal variable.
var scaleRule = func() (r struct{ at, weight [scaleNodes]float64 }) {
	quad.Hermite{}.FixedLocations(r.at[:], r.weight[:], math.Inf(-1), math.Inf(1))
	for k, x := range r.at {
		r.at[k] = x * math.Sqrt2
		r.weight[k] /= math.Sqrt(math.Pi)
	}
	return r
}()

// predict returns the predictive distribution under component c at row z of the
// basis and a place. The log of the scale is taken as normal, with its mean half
// its variance above the mode, approximately as for a scale estimated from a
// sample.
func (m *Model) predict(c *component, z []float64, along float64) (d predictive) {
	p := len(z)
	d.shape, d.chance = &m.all[c.shape], c.chance
	line := 0.0
	for j, zj := range z {
		d.fit += zj * c.point[j]
		for k, zk := range z {
			line += zj * zk * c.cov.At(j, k)
		}
	}
	variance := m.logVariance(c, along)
	log, sd := c.point[p]+along*c.point[p+1]+variance/2, math.Sqrt(variance)
	for k, x := range scaleRule.at {
		d.scales[k] = math.Sqrt(math.Exp(2*(log+sd*x)) + math.Max(line, 0))
	}
	return d
}

// above returns the probability of a new row above y.
func (d *predictive) above(y float64) (p float64) {
	for k, scale := range d.scales {
		p += scaleRule.weight[k] * d.shape.above((y-d.fit)/scale)
	}
	return p
}

// mixed is the predictive distribution of a new honest row over all components.
type mixed []predictive

func (m *Model) mixed(z []float64, along float64) (out mixed) {
	for k := range m.components {
		out = append(out, m.predict(&m.components[k], z, along))
	}
	return out
}

func (d mixed) above(y float64) (p float64) {
	for k := range d {
		p += d[k].chance * d[k].above(y)
	}
	return p
}

// quantile returns the y above which a new row lies with probability p, by the
// secant method on the normal scale, on which the distribution is nearly linear.
func (d mixed) quantile(p float64) float64 {
	off := func(y float64) float64 {
		above := math.Max(leastTail, math.Min(1-leastTail, d.above(y)))
		return distuv.UnitNormal.Quantile(above) - distuv.UnitNormal.Quantile(p)
	}
	y, width := 0.0, 0.0
	for _, c := range d {
		y += c.chance * c.fit
		width += c.chance * c.scales[scaleNodes/2]
	}
	at := off(y)
	for range quantileSteps {
		step := math.Max(-longestStep, math.Min(longestStep, at)) * width
		next := off(y + step)
		if y += step; math.Abs(next) < quantileMoved {
			break
		}
		if slope := (at - next) / step; slope > 0 { // width changes by a factor of three at most
			width = math.Max(width/3, math.Min(3*width, 1/slope))
		}
		at = next
	}
	return y
}

// Ranges returns, for rows of predictors given as columns of equal length, the
// fitted line and the central range that holds a new honest response with the given
// confidence; low and high are NaN for a confidence outside (0, 1).
func (m *Model) Ranges(columns [][]float64, confidence float64) (fit, low, high []float64) {
	n := len(columns[0])
	fit, low, high = make([]float64, n), make([]float64, n), make([]float64, n)
	x := make([]float64, len(columns))
	at := func(i int) []float64 {
		for j, c := range columns {
			x[j] = c[i]
		}
		fit[i] = m.Coef[0] + floats.Dot(x, m.Coef[1:])
		return m.basis.At(x)
	}
	if len(columns) == 1 && n > exactRanges {
		least, most := floats.Min(columns[0]), floats.Max(columns[0])
		places := floats.Span(make([]float64, exactRanges), least, most)
		f, l, h := m.Ranges([][]float64{places}, confidence)
		for i, v := range columns[0] {
			at(i)
			k := min(int((v-least)/(most-least)*(exactRanges-1)), exactRanges-2)
			t := (v - places[k]) / (places[k+1] - places[k])
			low[i] = fit[i] + (1-t)*(l[k]-f[k]) + t*(l[k+1]-f[k+1])
			high[i] = fit[i] + (1-t)*(h[k]-f[k]) + t*(h[k+1]-f[k+1])
		}
		return fit, low, high
	}
	for i := range n {
		z := at(i)
		low[i], high[i] = m.rangeAt(z, m.along(m.place(z)), confidence)
		start := floats.Dot(z, m.start)
		low[i], high[i] = low[i]+start, high[i]+start
	}
	return fit, low, high
}

// rangeAt returns the central prediction range of a new row, relative to the start.
func (m *Model) rangeAt(z []float64, along, confidence float64) (low, high float64) {
	if !(confidence > 0 && confidence < 1) {
		return math.NaN(), math.NaN()
	}
	d := m.mixed(z, along)
	return m.rows.scale * d.quantile((1+confidence)/2), m.rows.scale * d.quantile((1-confidence)/2)
}

// Above returns the probability that a new honest row at predictors x lies above y.
func (m *Model) Above(x []float64, y float64) float64 {
	z := m.basis.At(x)
	return m.mixed(z, m.along(m.place(z))).above((y - floats.Dot(z, m.start)) / m.rows.scale)
}
