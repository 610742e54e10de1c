package outlier

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// scaleNodes of Gauss and Hermite's rule average over what the scale may be.
const scaleNodes = 7

// predictive is the distribution of a new honest row at one place by one
// component: its shape at several scales.
type predictive struct {
	shape  *Shape
	fit    float64
	scales [scaleNodes]float64
}

var hermite = func() (h struct{ x, w [scaleNodes]float64 }) {
	quad.Hermite{}.FixedLocations(h.x[:], h.w[:], math.Inf(-1), math.Inf(1))
	for k := range h.w {
		h.w[k] /= math.Sqrt(math.Pi)
		h.w[k] *= math.Exp(0)
		h.x[k] *= math.Sqrt2
	}
	return h
}()

// at is that of component c at a row of the basis, in units of the start's scale.
func (m *Model) at(c *component, z []float64, along float64) (d predictive) {
	p := len(z)
	d.shape = &m.shapes[c.shape]
	line := 0.0
	for j, zj := range z {
		d.fit += zj * c.point[j]
		for k, zk := range z {
			line += zj * zk * c.cov.At(j, k)
		}
	}
	variance := c.cov.At(p, p) + 2*along*c.cov.At(p, p+1) + along*along*c.cov.At(p+1, p+1)
	log := c.point[p] + along*c.point[p+1] + variance/2
	sd := math.Sqrt(math.Max(variance, 0))
	for k := range d.scales {
		d.scales[k] = math.Sqrt(math.Exp(2*(log+sd*hermite.x[k])) + math.Max(line, 0))
	}
	return d
}

// above is the chance of a new row above v.
func (d *predictive) above(v float64) (p float64) {
	for k, s := range d.scales {
		p += hermite.w[k] * d.shape.above((v-d.fit)/s)
	}
	return p
}

// High returns for each row and shape the chance that a honest row lies so far
// above.
func (m *Model) High() [][]float64 {
	r := m.rows
	out := make([][]float64, len(m.shapes))
	for s := range out {
		out[s] = make([]float64, r.n)
	}
	for k := range m.components {
		c := &m.components[k]
		if c.chance < leastChance*m.Chances[c.shape] || m.Chances[c.shape] == 0 {
			continue
		}
		for i := range r.n {
			d := m.at(c, r.z[i*r.p:(i+1)*r.p], r.along[i])
			out[c.shape][m.order[i]] += c.chance / m.Chances[c.shape] * d.above(r.y[i])
		}
	}
	return out
}

// Above is the chance that a new honest row at x lies above y.
func (m *Model) Above(x []float64, along, y float64) float64 {
	z := m.basis.row(x)
	for j := range z {
		y -= z[j] * m.start[j]
	}
	y /= m.rows.scale
	sum, total := 0.0, 0.0
	for k := range m.components {
		if c := &m.components[k]; c.chance >= leastChance {
			d := m.at(c, z, along)
			sum += c.chance * d.above(y)
			total += c.chance
		}
	}
	return sum / total
}

// Along is the place of one predictor along the trend.
func (m *Model) Along(x []float64) float64 {
	return m.basis.row(x)[1] / math.Sqrt(float64(m.rows.n)/float64(m.rows.n-1))
}
