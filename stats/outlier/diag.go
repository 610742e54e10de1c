package outlier

import "math"

type Dump struct {
	Log          float64
	Shape, Group int
	P            []float32
	Scale        float64
}

// Dump lists components with logs before priors.
func (m *Model) Dump() (out []Dump) {
	r := m.rows
	for k := range m.components {
		c := &m.components[k]
		if c.chance < 1e-5 {
			continue
		}
		d := Dump{Log: c.log - math.Log(m.shapes[c.shape].Prior), Shape: c.shape, Group: c.group, P: make([]float32, r.n),
			Scale: math.Exp(c.point[r.p]) * r.scale}
		for i := range r.n {
			pr := m.at(c, r.z[i*r.p:(i+1)*r.p], r.along[i])
			d.P[m.order[i]] = float32(pr.above(r.y[i]))
		}
		out = append(out, d)
	}
	return out
}

func FitErrors(residuals, along []float64, scale float64) *Model {
	m := &Model{shapes: shapes()}
	m.rows, m.order = arrange(nil, 0, residuals, along, scale)
	m.components = weigh(m.rows)
	return m
}
