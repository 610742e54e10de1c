package linear

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"pleatstat/stats/internal/testhelp"
)

// rationalFit solves the normal equations in rational arithmetic, every float64
// being an exact rational number. It returns the coefficients and the diagonal of
// the inverse cross-product matrix.
func rationalFit(columns [][]float64, y []float64) (coef, diagonal []float64) {
	p := len(columns)
	rational := func(x []float64) []*big.Rat {
		out := make([]*big.Rat, len(x))
		for i, v := range x {
			out[i] = new(big.Rat).SetFloat64(v)
		}
		return out
	}
	var exact [][]*big.Rat
	for _, c := range columns {
		exact = append(exact, rational(c))
	}
	exact = append(exact, rational(y))
	dot := func(a, b []*big.Rat) *big.Rat {
		sum := new(big.Rat)
		for i := range a {
			sum.Add(sum, new(big.Rat).Mul(a[i], b[i]))
		}
		return sum
	}
	// Gauss-Jordan elimination on cross products, response and identity side by side.
	m := make([][]*big.Rat, p)
	for a := range m {
		m[a] = make([]*big.Rat, 2*p+1)
		for b := range m[a] {
			m[a][b] = new(big.Rat)
		}
		for b := range p + 1 {
			m[a][b].Set(dot(exact[a], exact[b]))
		}
		m[a][p+1+a].SetInt64(1)
	}
	for k := range p {
		inverse := new(big.Rat).Inv(m[k][k])
		for b := range m[k] {
			m[k][b].Mul(m[k][b], inverse)
		}
		for a := range p {
			if a == k {
				continue
			}
			factor := new(big.Rat).Set(m[a][k])
			for b := range m[a] {
				m[a][b].Sub(m[a][b], new(big.Rat).Mul(factor, m[k][b]))
			}
		}
	}
	for a := range p {
		c, _ := m[a][p].Float64()
		d, _ := m[a][p+1+a].Float64()
		coef, diagonal = append(coef, c), append(diagonal, d)
	}
	return coef, diagonal
}

// LeastSquares solves the problem as stored to the last digits, for polynomials in
// the calendar year and for Longley's columns. At Filip's condition number of 4e9
// the cross products, accurate to 32 digits, leave ten: more than the rounding of
// the powers leaves of the certified values.
func TestLeastSquaresIsExact(t *testing.T) {
	check := func(t *testing.T, columns [][]float64, y []float64, asked float64) {
		t.Helper()
		f, err := LeastSquares(Design{Columns: columns}, y)
		if err != nil {
			t.Fatal(err)
		}
		ones := make([]float64, len(y))
		for i := range ones {
			ones[i] = 1
		}
		coef, diagonal := rationalFit(append([][]float64{ones}, columns...), y)
		if got := worst(f.Coef, coef); got < asked {
			t.Errorf("condition %.2g: coefficients agree to %.1f digits", f.Condition, got)
		}
		unscaled := make([]float64, len(coef))
		for j, se := range f.SE {
			unscaled[j] = se / f.ResidualSD * (se / f.ResidualSD)
		}
		if got := worst(unscaled, diagonal); got < asked {
			t.Errorf("condition %.2g: variances agree to %.1f digits", f.Condition, got)
		}
	}
	t.Run("years", func(t *testing.T) {
		rng := rand.New(rand.NewPCG(2, 8))
		for degree := 1; degree <= 4; degree++ {
			x := make([]float64, 40)
			y := make([]float64, 40)
			for i := range x {
				x[i] = 2019 + 7*rng.Float64()
				y[i] = rng.NormFloat64()
			}
			columns := powers(x, degree)
			if degree > 2 { // beyond the square, powers of a year are collinear
				columns = powers(testhelp.Mapped(x, func(v float64) float64 { return v - 2010 }), degree)
			}
			check(t, columns, y, 14)
		}
	})
	t.Run("Filip", func(t *testing.T) {
		r := testhelp.Published(t, "strd_filip")
		check(t, powers(r.Column(t, "x"), 10), r.Column(t, "y"), 10)
	})
	t.Run("Longley", func(t *testing.T) {
		r := testhelp.Published(t, "strd_longley")
		check(t, r.Columns(t, "x1", "x2", "x3", "x4", "x5", "x6"), r.Column(t, "y"), 14)
	})
}
