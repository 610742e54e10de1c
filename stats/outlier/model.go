package outlier

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// Model is what the components come to together.
type Model struct {
	shapes     []Shape
	components []component
	rows       *rows
	order      []int
	start      []float64 // coefficients of the start in the basis
	basis      *basis

	Coef     []float64
	Cov      *mat.SymDense
	Fitted   []float64
	Residual []float64
	Clean    []float64
	Chances  []float64 // of each shape
}

// basis carries a row of the design (with its constant) to orthogonal columns.
type basis struct {
	centre, factor []float64
	inverse        *mat.TriDense // p × p
	p              int
}

func newBasis(columns [][]float64) (*basis, []float64) {
	n, p := len(columns[0]), len(columns)+1
	b := &basis{p: p}
	x := mat.NewDense(n, p, nil)
	for i := range n {
		x.Set(i, 0, 1)
	}
	for j, c := range columns {
		mean, sd := stat.MeanStdDev(c, nil)
		b.centre, b.factor = append(b.centre, mean), append(b.factor, 1/sd)
		for i, v := range c {
			x.Set(i, j+1, (v-mean)/sd)
		}
	}
	var qr mat.QR
	qr.Factorize(x)
	var r mat.Dense
	qr.RTo(&r)
	tri := mat.NewTriDense(p, mat.Upper, nil)
	for j := range p {
		for k := j; k < p; k++ {
			tri.SetTri(j, k, r.At(j, k))
		}
	}
	b.inverse = mat.NewTriDense(p, mat.Upper, nil)
	if err := b.inverse.InverseTri(tri); err != nil {
		return nil, nil
	}
	b.inverse.ScaleTri(math.Copysign(math.Sqrt(float64(n)), tri.At(0, 0)), b.inverse)
	var z mat.Dense
	z.Mul(x, b.inverse)
	return b, z.RawMatrix().Data
}

// row is that of predictors x.
func (b *basis) row(x []float64) []float64 {
	row := make([]float64, b.p)
	for k := range row {
		row[k] = b.inverse.At(0, k)
		for j, v := range x {
			if j+1 <= k {
				row[k] += (v - b.centre[j]) * b.factor[j] * b.inverse.At(j+1, k)
			}
		}
	}
	return row
}

// Fit fits.
func Fit(columns [][]float64, y []float64, start Start) (*Model, error) {
	b, z := newBasis(columns)
	n, p := len(y), b.p
	m := &Model{shapes: shapes(), basis: b, start: make([]float64, p)}
	residuals, along := make([]float64, n), make([]float64, n)
	for i := range y {
		residuals[i] = y[i] - start.Fitted[i]
		along[i] = start.Fitted[i]
		floats.AddScaled(m.start, start.Fitted[i]/float64(n), z[i*p:(i+1)*p])
	}
	if p == 2 {
		for i := range along {
			along[i] = z[i*p+1]
		}
	}
	mean, sd := stat.MeanStdDev(along, nil)
	for i := range along {
		along[i] = (along[i] - mean) / sd
	}
	m.rows, m.order = arrange(z, p, residuals, along, start.Scale)
	m.components = weigh(m.rows)
	m.average()
	return m, nil
}

// average is the line of all components, its covariance, and each row's chance
// to be honest.
func (m *Model) average() {
	r := m.rows
	p := r.p
	gamma := make([]float64, p)
	m.Chances = make([]float64, len(m.shapes))
	m.Clean = make([]float64, r.n)
	for _, c := range m.components {
		m.Chances[c.shape] += c.chance
		if c.chance == 0 {
			continue
		}
		floats.AddScaled(gamma, c.chance, c.point[:p])
		for i, v := range c.clean {
			m.Clean[m.order[i]] += c.chance * v
		}
	}
	cov := mat.NewSymDense(p, nil)
	apart := mat.NewVecDense(p, nil)
	for _, c := range m.components {
		if c.chance == 0 {
			continue
		}
		for j := range p {
			apart.SetVec(j, c.point[j]-gamma[j])
			for k := j; k < p; k++ {
				cov.SetSym(j, k, cov.At(j, k)+c.chance*c.cov.At(j, k))
			}
		}
		cov.SymRankOne(cov, c.chance, apart)
	}
	m.Fitted, m.Residual = make([]float64, r.n), make([]float64, r.n)
	for k, i := range m.order {
		m.Residual[i] = r.scale * (r.y[k] - floats.Dot(r.z[k*p:(k+1)*p], gamma))
	}
	for j := range gamma {
		gamma[j] = m.start[j] + r.scale*gamma[j]
	}
	cov.ScaleSym(r.scale*r.scale, cov)
	// Coefficients of the design: back through the basis and standardisation.
	back := mat.NewDense(p, p, nil)
	for k := range p {
		for j := range p {
			v := m.basis.inverse.At(j, k)
			if j == 0 {
				back.Set(0, k, back.At(0, k)+v)
				continue
			}
			back.Set(j, k, v*m.basis.factor[j-1])
			back.Set(0, k, back.At(0, k)-v*m.basis.factor[j-1]*m.basis.centre[j-1])
		}
	}
	var coef mat.VecDense
	coef.MulVec(back, mat.NewVecDense(p, gamma))
	m.Coef = coef.RawVector().Data
	var half, full mat.Dense
	half.Mul(back, cov)
	full.Mul(&half, back.T())
	m.Cov = mat.NewSymDense(p, nil)
	for j := range p {
		for k := j; k < p; k++ {
			m.Cov.SetSym(j, k, full.At(j, k))
		}
	}
}
