package hedonic

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/linear"
)

// drawn returns a market of 120 products with three contents in four columns; the
// last content is blank for one product in four, and one in five is bought three
// times.
func drawn() *Market {
	rng := rand.New(rand.NewPCG(2, 71))
	m := &Market{Inner: 0.8, Outer: 0.95, Content: []int{0, 1, 1, 2}, More: []int{1, 0, 0, 1}}
	left := mat.NewSymDense(4, nil)
	left.SetSym(3, 3, 0.6)
	m.Unknown = []*mat.SymDense{nil, left}
	for i := range 120 {
		area, contents := 0.4*rng.NormFloat64(), make([]float64, 4)
		for j := range contents {
			contents[j] = rng.NormFloat64()
		}
		pattern, bought := 0, 1
		if i%4 == 0 {
			pattern, contents[3] = 1, 0
		}
		if i%5 == 0 {
			bought = 3
		}
		var rows [][]float64 // of time and price
		mean, price := 0.0, 0.0
		for k := range bought {
			when := float64(k) - 3 - rng.Float64()
			log := 2 + 0.9*area + 0.2*contents[0] + 0.1*contents[3] + 0.04*when + 0.15*rng.NormFloat64()
			rows = append(rows, []float64{when, log})
			mean, price = mean+when/float64(bought), price+log/float64(bought)
		}
		last := rows[bought-1][0]
		for _, r := range rows {
			r[0], r[1] = r[0]-mean, r[1]-price
		}
		var within [][]float64
		if bought > 1 {
			within = linear.CompressRows(rows)
		}
		m.Y, m.Area, m.Openings = append(m.Y, price), append(m.Area, area), append(m.Openings, float64(bought))
		m.Time, m.LastTime, m.Within = append(m.Time, []float64{mean}), append(m.LastTime, []float64{last}), append(m.Within, within)
		m.X, m.Pattern = append(m.X, contents), append(m.Pattern, pattern)
	}
	return m
}

// The predictions equal those of refits without the product, in coefficients and in
// the deviation of a price, with blanks and with products bought several times.
func TestStandingsAreThoseOfRefits(t *testing.T) {
	whole := drawn()
	for _, m := range []*Market{whole, whole.withoutContents()} {
		n, p := len(m.Y), m.terms()
		folds := foldsOf(n)
		row := make([]float64, p)
		bought := 0
		for fold := range folds {
			inside, others := divide(n, fold, folds)
			s, err := m.fitMixtureAll(others, m.begin(thin(others)), nil)
			if err != nil {
				t.Fatal(err)
			}
			got := make([]LeftOut, n)
			if err := m.judgeFold(inside, s, got); err != nil {
				t.Fatal(err)
			}
			for _, out := range inside {
				a, b := mat.NewSymDense(p, nil), mat.NewVecDense(p, slices.Clone(s.posterior.b))
				for j := range p {
					for k := j; k < p; k++ {
						a.SetSym(j, k, s.posterior.symmetric(j, k))
					}
				}
				add := func(from int, x []float64, y, weight float64) {
					full := mat.NewVecDense(p, nil)
					for j, v := range x {
						full.SetVec(from+j, v)
					}
					a.SymRankOne(a, weight, full)
					b.AddScaledVec(b, weight*y, full)
				}
				for _, i := range inside {
					if i == out {
						continue
					}
					m.rowTo(i, row)
					add(0, row, m.Y[i]-s.middle, s.weight[i]/m.variance(i, s.spread))
					for _, r := range m.Within[i] {
						add(2, r[:m.timeTerms()], r[m.timeTerms()], s.weight[i]/s.share)
					}
				}
				var coef, spread mat.VecDense
				var chol mat.Cholesky
				m.rowTo(out, row)
				copy(row[2:], m.LastTime[out])
				x := mat.NewVecDense(p, slices.Clone(row))
				if !chol.Factorize(a) || chol.SolveVecTo(&coef, b) != nil || chol.SolveVecTo(&spread, x) != nil {
					t.Fatal("the refit has no solution")
				}
				wantWide := math.Sqrt(m.varianceOf(out, 1, s.spread)+mat.Dot(x, &spread)) * s.noise.Widening(m.Area[out])
				want := slices.Clone(coef.RawVector().Data)
				want[0] += s.middle
				name := fmt.Sprintf("product %d", out)
				nearRelative(t, name, got[out].Coef, want, 1e-8)
				nearRelative(t, name+", deviation", []float64{got[out].wide}, []float64{wantWide}, 1e-8)
				if len(m.Within[out]) > 0 {
					bought++
				}
			}
		}
		if bought < 5 {
			t.Errorf("%d products bought several times: too few to show anything", bought)
		}
	}
}
