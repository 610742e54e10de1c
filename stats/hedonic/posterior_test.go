package hedonic

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The average over subsets, against brute force: for every subset the n × n marginal
// covariance of the responses, with the constant integrated out under a flat prior
// (D. A. Harville (1974), Biometrika 61, 383-385, from memory), and the regression of
// the coefficients on the responses under it.
func TestAverageOverSubsetsIsThatOfAllMarginals(t *testing.T) {
	const (
		n, q, h   = 25, 2, 4
		scale     = 0.4
		areaPrior = 3.0 // precision, in units of scale²
	)
	content := []int{0, 1, 1, 2}
	rng := rand.New(rand.NewPCG(3, 14))
	rows, y, weights := make([][]float64, n), make([]float64, n), make([]float64, n)
	c := newNormalEquations(q + h)
	c.a[1*c.n+1] = areaPrior
	for i := range n {
		rows[i] = []float64{1}
		for range q - 1 + h {
			rows[i] = append(rows[i], rng.NormFloat64())
		}
		weights[i] = 0.3 + rng.Float64()
		y[i] = 0.5*rows[i][1] + 0.25*rows[i][3] - 0.1*rows[i][5] + scale*rng.NormFloat64()
		c.add(0, rows[i], y[i], weights[i])
	}
	got, err := newPosterior(c, q, n, scale, content, make([]int, h))
	if err != nil {
		t.Fatal(err)
	}

	type result struct {
		log       float64
		mean, cov []float64
	}
	var all []result
	response, one, area := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
	for i := range n {
		root := math.Sqrt(weights[i])
		response.SetVec(i, root*y[i])
		one.SetVec(i, root)
		area.SetVec(i, root*rows[i][1])
	}
	for taken := range 1 << 3 {
		for _, effect := range effects {
			x := mat.NewDense(n, h, nil)
			for i := range n {
				for j, g := range content {
					if taken>>g&1 == 1 {
						x.Set(i, j, math.Sqrt(weights[i])*rows[i][q+j])
					}
				}
			}
			sigma := mat.NewSymDense(n, nil)
			sigma.SymOuterK(effect*effect, x)
			sigma.SymRankOne(sigma, 1/areaPrior, area)
			for i := range n {
				sigma.SetSym(i, i, sigma.At(i, i)+1)
			}
			var chol mat.Cholesky
			if !chol.Factorize(sigma) {
				t.Fatal("marginal covariance is not definite")
			}
			inverse := func(v *mat.VecDense) *mat.VecDense {
				var out mat.VecDense
				if err := chol.SolveVecTo(&out, v); err != nil {
					t.Fatal(err)
				}
				return &out
			}
			ones := mat.Dot(one, inverse(one))
			project := func(v *mat.VecDense) *mat.VecDense { // Σ⁻¹ after eliminating the constant
				out := inverse(v)
				out.AddScaledVec(out, -mat.Dot(one, inverse(v))/ones, inverse(one))
				return out
			}
			py := project(response)
			size, prior := 0, math.Log(noContents/float64(len(effects)))
			for g := range 3 {
				size += taken >> g & 1
			}
			if size > 0 {
				prior = -math.Log([]float64{1, 3, 3, 1}[size] * float64(len(effects)))
			}
			r := result{log: prior - chol.LogDet()/2 - math.Log(ones)/2 - (n-1)/2.0*math.Log(mat.Dot(response, py)),
				mean: make([]float64, h), cov: make([]float64, h*h)}
			for j := range h {
				column := mat.VecDenseCopyOf(x.ColView(j))
				r.mean[j] = effect * effect * mat.Dot(column, py)
				for k := range h {
					if column.Norm(2) > 0 && j == k {
						r.cov[j*h+k] = effect * effect
					}
					r.cov[j*h+k] -= math.Pow(effect, 4) * mat.Dot(mat.VecDenseCopyOf(x.ColView(k)), project(column))
				}
			}
			all = append(all, r)
		}
	}
	most, total := math.Inf(-1), 0.0
	for _, r := range all {
		most = math.Max(most, r.log)
	}
	mean, second := make([]float64, h), make([]float64, h*h)
	for _, r := range all {
		w := math.Exp(r.log - most)
		total += w
		for j := range h {
			mean[j] += w * r.mean[j]
			for k := range h {
				second[j*h+k] += w * (r.cov[j*h+k] + r.mean[j]*r.mean[k]/(scale*scale))
			}
		}
	}
	// Tolerance for the unlikely subsets that are left out.
	const off = 0.01
	for j := range h {
		if m := mean[j] / total; math.Abs(got.coef[q+j]-m) > off*scale {
			t.Errorf("coefficient %d: %.6f, by all marginals %.6f", j, got.coef[q+j], m)
		}
		for k := range h {
			want := second[j*h+k]/total - mean[j]*mean[k]/(total*total*scale*scale)
			if v := got.cov[(q+j)*got.n+q+k]; math.Abs(v-want) > off {
				t.Errorf("covariance %d, %d: %.6f, by all marginals %.6f", j, k, v, want)
			}
		}
	}
	// The coefficients solve the normal equations that are returned.
	for j := range got.n {
		sum := 0.0
		for k, v := range got.coef {
			sum += got.symmetric(j, k) * v
		}
		if math.Abs(sum-got.b[j]) > 1e-9*(1+math.Abs(got.b[j])) {
			t.Errorf("equation %d: %.12f, want %.12f", j, sum, got.b[j])
		}
	}
}
